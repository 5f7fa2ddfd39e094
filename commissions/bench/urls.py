from django.urls import path

from commissions.bench import views

app_name = "bench"
urlpatterns = [
    path("bench/", views.jobs, name="jobs"),
    path("bench/worker.js", views.worker, name="worker"),
    path("bench/<str:reference>/", views.job, name="job"),
    path("bench/<str:reference>/act/<str:kind>/", views.act, name="act"),
    path("bench/<str:reference>/undo/", views.undo, name="undo"),
    path("bench/<str:reference>/photograph/", views.photograph, name="photograph"),
    path("bench/<str:reference>/weigh/", views.weigh, name="weigh"),
    path("bench/<str:reference>/problem/", views.problem, name="problem"),
    path("bench/<str:reference>/problem/<int:pk>/", views.solve, name="solve"),
    path("bench/<str:reference>/count/", views.count, name="count"),
    path("bench/<str:reference>/check/", views.check, name="check"),
    path("bench/<str:reference>/check/<int:number>/", views.check_line, name="check-line"),
    path("bench/<str:reference>/check/pass/", views.pass_check, name="pass-check"),
    path("bench/<str:reference>/steps/", views.steps, name="steps"),
    path("bench/<str:reference>/steps/<int:pk>/leave-out/", views.leave_out, name="leave-out"),
    path("bench/<str:reference>/time/<int:pk>/", views.time, name="time"),
    path("bench/<str:reference>/photo/<int:pk>/<int:size>/", views.photo_file, name="photo-file"),
    path("commissions/<str:reference>/begin/", views.begin, name="begin"),
    path("commissions/<str:reference>/photos/", views.photos, name="photos"),
    path("commissions/<str:reference>/photos/<int:pk>/", views.photo, name="photo"),
    path("commissions/<str:reference>/photos/<int:pk>/withdraw/", views.withdraw, name="withdraw-photo"),
    path("steps/", views.templates, name="templates"),
    path("steps/new/", views.template, name="new-template"),
    path("steps/<int:pk>/", views.template, name="template"),
]
