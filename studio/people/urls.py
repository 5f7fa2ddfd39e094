from django.urls import path

from studio.people.views import client, staff

app_name = "people"
urlpatterns = [
    path("studio/sign-in/", staff.sign_in, name="sign-in"),
    path("studio/sign-out/", staff.sign_out, name="sign-out"),
    path("studio/second-factor/", staff.second_factor, name="second-factor"),
    path("studio/people/", staff.people, name="people"),
    path("studio/people/<int:pk>/let-go/", staff.let_go, name="let-go"),
    path("studio/password/", staff.password, name="password"),
    path("studio/trail/", staff.trail, name="trail"),
    path("in/", client.sign_in, name="client-sign-in"),
    path("in/code/", client.code, name="client-code"),
    path("in/devices/", client.devices, name="client-devices"),
    path("in/passphrase/", client.step_up, name="step-up"),
    path("in/out/", client.sign_out, name="client-sign-out"),
    path("in/<str:token>/", client.link, name="client-link"),
    path("away/", client.away, name="away"),
]
