"use strict";
const place = document.getElementById("api");
SwaggerUIBundle({
  url: place.dataset.schema,
  domNode: place,
  deepLinking: true,
  requestInterceptor: (request) => {
    request.headers["X-CSRFToken"] = place.dataset.token;
    return request;
  },
});
