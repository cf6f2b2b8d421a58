"""``python -m felt_engine``: the command."""

import os
import sys

if __name__ == "__main__":
    if sys.path and sys.path[0] in ("", os.getcwd()):
        del sys.path[0]
    from felt_engine.cli.main import run

    run()
