"""Django settings."""
SECRET_KEY = "x"
INSTALLED_APPS: list[str] = []
USE_TZ = True
