"""What holds for all tests: a law is never held to a time by the clock."""

from __future__ import annotations

from hypothesis import HealthCheck, settings

settings.register_profile("laws", deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.load_profile("laws")
