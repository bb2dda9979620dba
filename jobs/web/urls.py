"""Addresses of the pages. One list a role, in the order of its work."""

from __future__ import annotations

from django.urls import path

from jobs.web import accounts, as_built_page, design_pages, engineer, estimator, installer, office, planning

accounts_pages = [
    path("", accounts.home, name="home"),
    path("login/", accounts.log_in, name="login"),
    path("logout/", accounts.log_out, name="logout"),
]
office_pages = [
    path("jobs/", office.job_list, name="job-list"),
    path("jobs/new/", office.job_create, name="job-create"),
    path("jobs/<int:pk>/", office.job_detail, name="job-detail"),
    path("jobs/<int:pk>/edit/", office.job_edit, name="job-edit"),
    path("jobs/<int:pk>/move/", office.job_move, name="job-move"),
    path("jobs/<int:pk>/hold/", office.job_hold, name="job-hold"),
    path("jobs/<int:pk>/hold/lift/", office.job_hold_lift, name="job-hold-lift"),
    path("jobs/<int:pk>/engineer/", office.job_assign, name="job-assign"),
    path("jobs/<int:pk>/city-set/", office.job_city_set, name="job-city-set"),
    path("jobs/<int:pk>/city-set/file/", office.city_set_file, name="job-city-set-file"),
    path("jobs/<int:pk>/criteria/", office.criteria_start, name="job-criteria-start"),
    path("jobs/<int:pk>/design/", office.design_issue, name="design-issue"),
    path("jobs/<int:pk>/comments/", office.comment_resolve, name="job-comment-resolve"),
    path("jobs/<int:pk>/work-orders/new/", planning.work_order_create, name="work-order-create"),
    path("jobs/<int:pk>/inspections/new/", planning.inspection_record, name="inspection-record"),
    path("jobs/<int:pk>/as-built/", as_built_page.job_as_built, name="job-as-built"),
]
estimator_pages = [
    path("clients/", estimator.client_list, name="client-list"),
    path("clients/new/", estimator.client_create, name="client-create"),
    path("clients/<int:pk>/", estimator.client_detail, name="client-detail"),
    path("clients/<int:pk>/edit/", estimator.client_edit, name="client-edit"),
    path("houses/new/", estimator.house_create, name="house-create"),
    path("houses/<int:pk>/", estimator.house_detail, name="house-detail"),
    path("houses/<int:pk>/edit/", estimator.house_edit, name="house-edit"),
    path("houses/<int:house_pk>/wall-lines/new/", estimator.wall_line_create, name="wall-line-create"),
    path("wall-lines/<int:pk>/", estimator.wall_line_edit, name="wall-line-edit"),
    path("wall-lines/<int:pk>/remove/", estimator.wall_line_remove, name="wall-line-remove"),
    path("jobs/<int:pk>/lines/<int:line_pk>/", design_pages.line_choice_edit, name="line-choice-edit"),
    path("designs/<int:pk>/", design_pages.design_detail, name="design-detail"),
]
engineer_pages = [
    path("review/", engineer.review_list, name="review-list"),
    path("review/<int:pk>/", engineer.review, name="review"),
    path("review/<int:pk>/criteria/", engineer.criteria_confirm, name="criteria-confirm"),
    path("review/<int:pk>/criteria/start/", engineer.criteria_start, name="criteria-start"),
    path("review/<int:pk>/mode/", engineer.mode_name, name="mode-name"),
    path("review/<int:pk>/return/", engineer.review_return, name="review-return"),
    path("review/<int:pk>/stamped/", engineer.review_stamped, name="review-stamped"),
    path("review/<int:pk>/withdraw/", engineer.packet_withdraw, name="packet-withdraw"),
    path("review/<int:pk>/tests/", engineer.test_accept, name="test-accept"),
    path("tables/accept/", engineer.tables_accept, name="tables-accept"),
    path("anchors/<int:pk>/accept/", engineer.anchor_accept, name="anchor-accept"),
    path("wall-lines/<int:pk>/nailing/", engineer.nailing_accept, name="nailing-accept"),
    path("found-sheathing/<int:pk>/accept/", engineer.sheathing_accept, name="sheathing-accept"),
    path("wall-lines/<int:pk>/foundation/accept/", engineer.foundation_accept, name="foundation-accept"),
]
installer_pages = [
    path("today/", installer.today, name="today"),
    path("work-orders/<int:pk>/", installer.work_order_detail, name="work-order-detail"),
    path("work-orders/<int:pk>/cautions/", installer.cautions_acknowledge, name="cautions-acknowledge"),
    path("work-orders/<int:pk>/walls/<int:number>/", installer.work_order_wall, name="work-order-wall"),
    path("work-orders/<int:pk>/walls/<int:number>/hold-points/", installer.hold_point_tick, name="hold-point-tick"),
    path("work-orders/<int:pk>/walls/<int:number>/log/<slug:task>/", installer.field_event, name="field-event"),
    path("work-orders/<int:pk>/walls/<int:number>/panels/<int:panel>/", installer.panel_event, name="panel-event"),
]

urlpatterns = [*accounts_pages, *office_pages, *estimator_pages, *engineer_pages, *installer_pages]
