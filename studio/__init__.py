"""The house itself: it knows Django and knows no ring."""

from studio.celery import app as celery_app

__all__ = ["celery_app"]
