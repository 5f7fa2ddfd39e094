"""
The studio's settings: one file, read from the environment.

Nothing set means the embedded way: SQLite, no broker, letters into a local outbox.
A broker address means the served way; then the unsafe defaults are refused (see studio.checks).
"""

from pathlib import Path
from zoneinfo import ZoneInfo

from studio import environment as env

BASE_DIR = Path(__file__).resolve().parent.parent
DATA_DIR = Path(env.text("DATA") or BASE_DIR / "var")
DATA_DIR.mkdir(parents=True, exist_ok=True)

# -- which way the house runs -------------------------------------------------------------------
BROKER_URL = env.text("BROKER_URL")
SERVED = bool(BROKER_URL)
DEMO = env.flag("DEMO")
DEBUG = env.flag("DEBUG")
CLOCK_OFFSET_SECONDS = env.number("CLOCK_OFFSET_SECONDS", 0)

SECRET_KEY = env.text("SECRET_KEY") or ("" if SERVED else env.own_secret(DATA_DIR / "secret-key"))
if not SECRET_KEY:
    # A served house without a secret still has to start far enough to say so by a system check.
    SECRET_KEY = "unset"  # noqa: S105 - a word, not a secret
# Secrets that were in use before: what they sealed or signed can still be read, nothing new is made with them.
SECRET_KEY_FALLBACKS = env.words("SECRET_KEY_FALLBACKS")
ORIGIN = env.text("ORIGIN", "http://127.0.0.1:8000").rstrip("/")
ALLOWED_HOSTS = env.words("HOSTS", "127.0.0.1,localhost,[::1]")
CSRF_TRUSTED_ORIGINS = [ORIGIN]
HTTPS = ORIGIN.startswith("https://")

# -- the house and its rooms, in the order of the route -------------------------------------------
INSTALLED_APPS = [
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.messages",
    "whitenoise.runserver_nostatic",
    "django.contrib.staticfiles",
    "django.forms",
    "django_htmx",
    "django_otp",
    "django_otp.plugins.otp_totp",
    "studio",
    "studio.trail",
    "studio.people",
    "studio.pictures",
    "studio.outbox",
    "studio.keeping",
    "gemcalc.web",
    "commissions.intake",
    "commissions.record",
    "commissions.design",
    "commissions.sourcing",
    "commissions.money",
    "commissions.bench",
    "commissions.delivery",
    "commissions.letters",
    "commissions.pages",
]

MIDDLEWARE = [
    "studio.middleware.CallerBehindProxy",
    "django.middleware.security.SecurityMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "studio.middleware.Headers",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "studio.middleware.ReaderLocale",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "django_otp.middleware.OTPMiddleware",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django_htmx.middleware.HtmxMiddleware",
]

ROOT_URLCONF = "studio.urls"
WSGI_APPLICATION = "studio.wsgi.application"
TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "DIRS": [BASE_DIR / "templates"],
        "APP_DIRS": True,
        "OPTIONS": {
            "context_processors": [
                "django.template.context_processors.request",
                "django.contrib.auth.context_processors.auth",
                "django.contrib.messages.context_processors.messages",
                "studio.context.house",
                "commissions.pages.client.context.clients_page",
            ],
            "builtins": ["studio.templatetags.studio_tags", "django.templatetags.i18n"],
        },
    }
]
FORM_RENDERER = "studio.forms.Renderer"

# -- data --------------------------------------------------------------------------------------
DATABASES = {"default": env.database(env.text("DATABASE_URL"), data=DATA_DIR)}
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"
# Written pictures and papers are private: they leave only through a view that has checked who asks.
MEDIA_ROOT = DATA_DIR / "media"
CACHES = {
    "default": (
        {
            "BACKEND": "django.core.cache.backends.redis.RedisCache",
            "LOCATION": env.text("CACHE_URL") or BROKER_URL,
        }
        if SERVED
        else {"BACKEND": "django.core.cache.backends.locmem.LocMemCache"}
    )
}

# -- people ------------------------------------------------------------------------------------
AUTH_USER_MODEL = "people.Person"
LOGIN_URL = "people:sign-in"
LOGIN_REDIRECT_URL = "/studio/"
PASSWORD_HASHERS = ["django.contrib.auth.hashers.Argon2PasswordHasher"]
AUTH_PASSWORD_VALIDATORS = [
    {"NAME": "django.contrib.auth.password_validation.MinimumLengthValidator", "OPTIONS": {"min_length": 12}},
    {"NAME": "django.contrib.auth.password_validation.CommonPasswordValidator"},
    {
        "NAME": "django.contrib.auth.password_validation.UserAttributeSimilarityValidator",
        "OPTIONS": {"user_attributes": ["full_name", "email"]},
    },
]
# The second factor may be left out only in the demo workshop.
SECOND_FACTOR_REQUIRED = env.flag("SECOND_FACTOR", default=not DEMO)
SIGN_IN_CODE_MINUTES = 10
# A client's device: asked for a new code after lying idle, its key changed while it is in use.
CLIENT_IDLE_MINUTES = env.number("CLIENT_IDLE_MINUTES", 120)
CLIENT_SESSION_DAYS = 14
CLIENT_KEY_MINUTES = 30
STEP_UP_MINUTES = 10
# What a one-time code can open: who is known there, the letter that carries it, the page its link leads to.
CODE_DOORS = {
    "client": {
        "knows": "studio.people.queries.client_letter",
        "letter": "sign-in-code",
        "way": "people:client-link",
    },
    "brief": {
        "knows": "commissions.intake.queries.back_letter",
        "letter": "brief-code",
        "way": "intake:back-link",
    },
    "send": {
        "knows": "commissions.intake.queries.send_letter",
        "letter": "brief-confirm",
        "way": "intake:send-link",
    },
}
# Who leaves: the rooms say what they still hold, and end the links and keys that they gave out.
HOLDINGS = ["commissions.sourcing.leaving.held_by_person", "commissions.bench.leaving.held_by_person"]
WAYS_THAT_END = ["commissions.bench.leaving.end_ways", "commissions.delivery.leaving.end_ways"]
# What the keys of the trail are called, and which key stands for a client's name in it.
TRAIL_NAMES = ["studio.people.naming.names_of", "commissions.record.naming.names_of"]
TRAIL_ACTOR = "commissions.record.naming.actor_key"
# Columns that stand under a fingerprint which papers name: never written over, whatever words are in them.
FINGERPRINTED = {
    "delivery.ringrecord.facts",
    "record.smalljob.words",
    "design.revision.outputs",
    "design.revision.parameters",
    "money.approval.bundle",
    "money.shownbundle.bundle",
    "sourcing.condition.content",
}
SESSION_COOKIE_NAME = "__Host-session" if HTTPS else "session"
CSRF_COOKIE_NAME = "__Host-csrf" if HTTPS else "csrf"
SESSION_COOKIE_SECURE = CSRF_COOKIE_SECURE = HTTPS
SESSION_COOKIE_HTTPONLY = CSRF_COOKIE_HTTPONLY = True
SESSION_COOKIE_SAMESITE = CSRF_COOKIE_SAMESITE = "Lax"
SESSION_COOKIE_AGE = 14 * 24 * 3600
SECURE_SSL_REDIRECT = HTTPS and env.flag("REDIRECT_TO_HTTPS", default=True)
SECURE_PROXY_SSL_HEADER = ("HTTP_X_FORWARDED_PROTO", "https") if env.flag("BEHIND_PROXY") else None
SECURE_HSTS_SECONDS = 365 * 24 * 3600 if HTTPS else 0
SECURE_HSTS_INCLUDE_SUBDOMAINS = SECURE_HSTS_PRELOAD = HTTPS
# Not "no-referrer": a browser then sends "Origin: null" with our own forms, and they are refused as forged.
SECURE_REFERRER_POLICY = "same-origin"
SECURE_CROSS_ORIGIN_OPENER_POLICY = "same-origin"
X_FRAME_OPTIONS = "DENY"

# -- language, place, time ------------------------------------------------------------------------
LANGUAGE_CODE = "en-gb"
LANGUAGES = [("en-gb", "English"), ("en-us", "English (United States)"), ("de", "Deutsch")]
LOCALE_PATHS = [BASE_DIR / "studio" / "locale"]
USE_I18N = True
USE_TZ = True
TIME_ZONE = env.text("ZONE", "Europe/London")
ZoneInfo(TIME_ZONE)  # an unknown zone is refused at start, not at the first date
STUDIO_NAME = env.text("STUDIO_NAME", "The studio")
STUDIO_ADDRESS = env.text("STUDIO_ADDRESS")  # as invoices print it
# How long accounts are kept after the year of the last entry; what your law asks for, your accountant knows.
ACCOUNTS_YEARS = env.number("ACCOUNTS_YEARS", 7)
STUDIO_COUNTRY = env.text("COUNTRY", "GB").upper()  # whose rules for marks apply where rings are made
# A hosted page that takes cards, and the secret its notifications are signed with; empty means none.
CARD_PAGE_ADDRESS = env.text("CARD_PAGE_ADDRESS")
CARD_PAGE_SECRET = env.text("CARD_PAGE_SECRET")

# -- static files ----------------------------------------------------------------------------------
STATIC_URL = "static/"
STATIC_ROOT = DATA_DIR / "static"
FONTS_DIR = DATA_DIR / "fonts"
FONTS_DIR.mkdir(parents=True, exist_ok=True)
STATICFILES_DIRS = [("fonts", FONTS_DIR)]
WHITENOISE_USE_FINDERS = not SERVED
WHITENOISE_AUTOREFRESH = DEBUG
STORAGES = {
    "default": {"BACKEND": "django.core.files.storage.FileSystemStorage"},
    # Pictures as they came, with all that a camera writes into them: no view reads this store.
    "originals": {
        "BACKEND": "django.core.files.storage.FileSystemStorage",
        "OPTIONS": {"location": DATA_DIR / "originals", "base_url": None},
    },
    "staticfiles": {
        "BACKEND": (
            "whitenoise.storage.CompressedManifestStaticFilesStorage"
            if SERVED
            else "django.contrib.staticfiles.storage.StaticFilesStorage"
        )
    },
}

# -- uploads ---------------------------------------------------------------------------------------
UPLOAD_FILE_MB = 30
DATA_UPLOAD_MAX_MEMORY_SIZE = 2 * 1024 * 1024
FILE_UPLOAD_MAX_MEMORY_SIZE = 1024 * 1024
FILE_UPLOAD_PERMISSIONS = 0o600
FILE_UPLOAD_HANDLERS = [
    "studio.uploads.EarlyLimit",
    "django.core.files.uploadhandler.MemoryFileUploadHandler",
    "django.core.files.uploadhandler.TemporaryFileUploadHandler",
]

# -- letters ---------------------------------------------------------------------------------------
OUTBOX_DIR = DATA_DIR / "outbox"
globals().update(env.mail(env.text("SMTP_URL")))
EMAIL_TIMEOUT = 30  # below the lease, so that a claimed letter is never sent by two workers
LETTER_FROM = env.text("LETTER_FROM", "studio@localhost")
LETTER_DOMAIN = LETTER_FROM.rpartition("@")[2]
# What a letter shows where a gift must stay a secret: a name, a sender and an address without the trade in them.
DISCREET_NAME = env.text("DISCREET_NAME", "Client desk")
DISCREET_FROM = env.text("DISCREET_FROM") or LETTER_FROM
DISCREET_ORIGIN = (env.text("DISCREET_ORIGIN") or ORIGIN).rstrip("/")
DISCREET_GUARD = "commissions.letters.discretion.discreet_words"
OUTBOX_LEASE_SECONDS = env.number("OUTBOX_LEASE_SECONDS", 150)
OUTBOX_GIVE_UP_HOURS = 48
# What the sweep does, in order: rooms consume the facts that earlier rooms wrote.
SWEEP = [
    "studio.people.tasks.make_codes",
    "studio.people.tasks.forget_sessions",
    "studio.trail.tasks.prove",
    "commissions.intake.tasks.remove_old",
    "commissions.sourcing.tasks.remind_of_returns",
    "commissions.delivery.tasks.ask_due_care",
    "commissions.bench.tasks.watch_dates",
    "commissions.delivery.tasks.ask_kind_words",
    "studio.pictures.tasks.render_waiting",
    "commissions.sourcing.tasks.keep_papers",
    "commissions.letters.tasks.draft_missing",
    "studio.outbox.tasks.send_due",
    "commissions.letters.tasks.show_failures",
    "commissions.delivery.tasks.draw_papers",
    "commissions.delivery.tasks.purge_addresses",
    "commissions.pages.keeping.tasks.forget_names",
    "commissions.pages.keeping.tasks.forget_unagreed",
]
# What the halo fit finds in the drawer: a function from species and origin to counts by size.
FIGURES_DRAWER = "commissions.sourcing.queries.drawer_stock"
SWEEP_SECONDS = env.number("SWEEP_SECONDS", 15)

# -- Celery ----------------------------------------------------------------------------------------
CELERY_BROKER_URL = BROKER_URL or "memory://"
CELERY_TASK_ACKS_LATE = True
CELERY_TASK_REJECT_ON_WORKER_LOST = True
CELERY_TASK_IGNORE_RESULT = True
CELERY_TASK_SOFT_TIME_LIMIT = 90
CELERY_TASK_TIME_LIMIT = 120
CELERY_WORKER_PREFETCH_MULTIPLIER = 1
CELERY_WORKER_MAX_TASKS_PER_CHILD = 200
CELERY_WORKER_MAX_MEMORY_PER_CHILD = 400_000
CELERY_WORKER_SOFT_SHUTDOWN_TIMEOUT = 20
CELERY_BROKER_CONNECTION_RETRY_ON_STARTUP = True
CELERY_BROKER_TRANSPORT_OPTIONS = (
    {
        "visibility_timeout": env.number("VISIBILITY_TIMEOUT", 600),
        "unacked_restore_interval": 10,
        "unacked_restore_throttle": 1,
        "socket_timeout": 10,
        "socket_connect_timeout": 2,
        "socket_keepalive": True,
        "health_check_interval": 25,
        # A page that publishes asks a broker that is down once, at once, and goes on: the sweep finds the work.
        "max_retries": 0,
    }
    if SERVED
    else {}
)
CELERY_BEAT_SCHEDULE = {
    "sweep": {
        "task": "studio.outbox.tasks.sweep",
        "schedule": SWEEP_SECONDS,
        "options": {"expires": max(60, 4 * SWEEP_SECONDS)},
    },
}

LOGGING = {
    "version": 1,
    "disable_existing_loggers": False,
    "formatters": {"line": {"format": "{asctime} {levelname} {name} {message}", "style": "{"}},
    # A one-time link is a key: no line keeps it.
    "filters": {"mask": {"()": "studio.logs.MaskTokens"}},
    "handlers": {"console": {"class": "logging.StreamHandler", "formatter": "line", "filters": ["mask"]}},
    "loggers": {"django.server": {"filters": ["mask"]}, "gunicorn.access": {"filters": ["mask"]}},
    "root": {"handlers": ["console"], "level": env.text("LOG_LEVEL", "INFO" if SERVED else "WARNING")},
}
SILENCED_SYSTEM_CHECKS = []
