"""Where what the whole shop shares is kept."""

import os
import sys
from pathlib import Path

_NAME = "flangelayout"


def settings_folder() -> Path:
    """The folder of the shop file, the shop's own patterns and its borders, whether or not it is there yet.

    On Linux it is worked out here, by the rule of the XDG base directories: the library that knows the places of
    every system would cost a survey a tenth of its start.
    """
    if sys.platform == "linux":
        return Path(os.environ.get("XDG_CONFIG_HOME", "").strip() or "~/.config").expanduser() / _NAME
    from platformdirs import user_config_path

    return user_config_path(_NAME, appauthor=False)
