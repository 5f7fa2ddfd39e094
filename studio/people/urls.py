from django.urls import path

from studio.people.views import client, leaving, staff

app_name = "people"
urlpatterns = [
    path("studio/sign-in/", staff.sign_in, name="sign-in"),
    path("studio/sign-out/", staff.sign_out, name="sign-out"),
    path("studio/second-factor/", staff.second_factor, name="second-factor"),
    path("studio/people/", staff.people, name="people"),
    path("studio/people/<int:pk>/", leaving.person, name="person"),
    path("studio/people/<int:pk>/let-go/", leaving.let_go, name="let-go"),
    path("studio/people/<int:pk>/take-over/", leaving.take_over, name="take-over"),
    path("studio/people/<int:pk>/sessions/<int:session>/", leaving.end_session, name="end-session"),
    path("studio/sessions/", leaving.sessions, name="sessions"),
    path("studio/password/", staff.password, name="password"),
    path("in/", client.sign_in, name="client-sign-in"),
    path("in/code/", client.code, name="client-code"),
    path("in/devices/", client.devices, name="client-devices"),
    path("in/passphrase/", client.step_up, name="step-up"),
    path("in/out/", client.sign_out, name="client-sign-out"),
    path("in/<str:token>/", client.link, name="client-link"),
    path("away/", client.away, name="away"),
]
