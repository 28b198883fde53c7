"""Where what the whole shop shares is kept."""

from pathlib import Path


def settings_folder() -> Path:
    """The folder of the shop file, the shop's own patterns and its borders, whether or not it is there yet."""
    from platformdirs import user_config_path

    return user_config_path("flangelayout", appauthor=False)
