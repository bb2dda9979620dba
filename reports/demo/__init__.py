"""The demo: an invented company with three jobs, made by the same services that a company uses."""
