"""Log-in, log-out, passwords, and for admins the list of people."""

from urllib.parse import urlsplit

from django.contrib import messages
from django.contrib.auth import login, logout, views
from django.db import transaction
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.urls import reverse, reverse_lazy
from django.utils.decorators import method_decorator
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from playbook import access, text, web
from playbook.installation import queries as installation
from playbook.models import Happening, Rights, User
from playbook.people import log, queries, services, sessions
from playbook.people.forms import AskForm, FirstPasswordForm, OwnPasswordForm, PersonForm
from playbook.roster import queries as roster
from playbook.serving import network

SEASON_S = 180 * 24 * 3600  # how long a phone stays signed in after a one-time link


class LogIn(views.LoginView):
    """Asks for user name and password; someone signed in already goes on."""

    template_name = "people/log_in.html"
    redirect_authenticated_user = True

    def get(self, request, *args, **kwargs):
        """Shows the form; while nobody can sign in at all, leads to where the first admin is made."""
        if not installation.has_admin():
            return redirect("installation:first")
        return super().get(request, *args, **kwargs)

    def form_valid(self, form):
        """Signs in, and writes it down."""
        answer = super().form_valid(form)
        sessions.signed_in(self.request, form.get_user(), web.client_address(self.request))
        return answer

    def form_invalid(self, form):
        """Writes down that somebody was refused, and answers 422 with the form."""
        name = form.data.get("username", "")
        if name and not getattr(self.request, "axes_locked_out", False):
            log.write(Happening.REFUSED, None, name=text.kept(name), address=web.client_address(self.request))
        return self.render_to_response(self.get_context_data(form=form), status=422)


@require_http_methods(["GET", "HEAD", "POST"])
def ask(request: HttpRequest) -> HttpResponse:
    """Lets a man without a way in ask his coaches for a link. The answer is the same whoever asks."""
    form = AskForm(request.POST or None)
    if request.method != "POST":
        return web.page(request, "people/ask.html", {"form": form})
    if not form.is_valid():
        return web.invalid(request, "people/ask.html", {"form": form})
    man = roster.man_called(form.cleaned_data["last_name"], form.cleaned_data["number"])
    if man:
        services.ask_for_link(man)
    return web.page(request, "people/ask.html", {"asked": True})


@require_POST
def log_out(request: HttpRequest) -> HttpResponse:
    """Signs out and goes to the log-in page."""
    if request.user.is_authenticated:
        log.write(Happening.SIGNED_OUT, access.user_of(request), address=web.client_address(request))
    logout(request)
    return redirect("people:log-in")


@method_decorator(access.needs(*access.EVERYONE), name="dispatch")
class ChangePassword(views.PasswordChangeView):
    """Changes one's own password."""

    template_name = "people/password.html"
    form_class = OwnPasswordForm
    success_url = reverse_lazy("home:start")

    def form_valid(self, form):
        """Says so, and goes to the first screen; to the log-in page when somebody ended this log-in meanwhile."""
        try:
            answer = super().form_valid(form)
        except services.AccessEnded:
            return redirect("people:log-in")
        messages.success(self.request, "Your password is changed.")
        return answer

    def form_invalid(self, form):
        """Answers 422 with the form."""
        return self.render_to_response(self.get_context_data(form=form), status=422)


class Welcome(views.PasswordResetConfirmView):
    """Signs in by a one-time link: with a new password, or a player on his own phone without one."""

    template_name = "people/welcome.html"
    token_generator = services.links
    form_class = FirstPasswordForm
    success_url = reverse_lazy("home:start")
    post_reset_login = True
    post_reset_login_backend = "django.contrib.auth.backends.ModelBackend"

    def post(self, request, *args, **kwargs):
        """Signs a player in at once where he asks for no password."""
        if "phone" not in request.POST or self.user.role != Rights.PLAYER:
            return super().post(request, *args, **kwargs)
        del request.session[views.INTERNAL_RESET_SESSION_TOKEN]
        try:
            with transaction.atomic():
                services.hold(self.user)
                login(request, self.user, backend=self.post_reset_login_backend)
                request.session.set_expiry(SEASON_S)
        except services.AccessEnded:
            self.validlink = False
            return self.render_to_response(self.get_context_data())
        return redirect("home:start")

    def get_context_data(self, **kwargs):
        """Says whether it may be done without a password."""
        return super().get_context_data(**kwargs) | {"phone": self.user and self.user.role == Rights.PLAYER}

    def form_valid(self, form):
        """Sets the password; says that the link is no longer good when somebody ended it meanwhile."""
        try:
            answer = super().form_valid(form)
        except services.AccessEnded:
            self.validlink = False
            return self.render_to_response(self.get_context_data())
        sessions.signed_in(self.request, self.user, web.client_address(self.request), "by a link")
        return answer

    def form_invalid(self, form):
        """Answers 422 with the form."""
        return self.render_to_response(self.get_context_data(form=form), status=422)


@require_safe
@access.needs(*access.ADMINS)
def people_list(request: HttpRequest) -> HttpResponse:
    """Lists everyone, filtered by name."""
    words = request.GET.get("q", "")
    context = {"people": queries.people_matching(words), "words": words}
    return web.page(request, "people/list.html", context, partial="people/_people.html")


@require_http_methods(["GET", "HEAD", "POST"])
@access.needs(*access.ADMINS)
def add(request: HttpRequest) -> HttpResponse:
    """Adds a person."""
    return _person_form(request, None)


@require_http_methods(["GET", "HEAD", "POST"])
@access.needs(*access.ADMINS)
def edit(request: HttpRequest, pk: int) -> HttpResponse:
    """Changes a person."""
    return _person_form(request, get_object_or_404(User, pk=pk))


def _person_form(request: HttpRequest, person: User | None) -> HttpResponse:
    form = PersonForm(request.POST or None, instance=person)
    context = {"form": form, "person": person, "sessions": sessions.sessions_of(person) if person else []}
    if request.method != "POST":
        return web.page(request, "people/edit.html", context)
    if form.is_valid():
        try:
            saved = services.save_person(form.save(commit=False), access.user_of(request))
        except services.LastAdmin as refused:
            form.add_error("role", str(refused))
        else:
            messages.success(request, f"{saved} is saved.")
            return web.go(request, reverse("people:edit", args=[saved.pk]))
    return web.invalid(request, "people/edit.html", context)


@require_POST
@access.needs(*access.ADMINS)
def link(request: HttpRequest, pk: int) -> HttpResponse:
    """Shows a one-time link, also as a QR code, with which the person sets a password."""
    person = get_object_or_404(User, pk=pk, is_active=True)
    address = request.build_absolute_uri(reverse("people:welcome", args=services.log_in_path(person)))
    log.write(Happening.LINK, access.user_of(request), about=person.username, address=web.client_address(request))
    here = network.only_here(urlsplit(address).hostname or "")
    context = {"person": person, "address": address, "qr": services.qr_image(address), "only_here": here}
    return web.page(request, "people/link.html", context)
