"""``python -m flangelayout``."""

from flangelayout.cli import main

if __name__ == "__main__":
    main()
