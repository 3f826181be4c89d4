"""One profile for property tests: no time limit, and the same cases each time on a build server."""

import os

from hypothesis import settings

settings.register_profile("ours", deadline=None, derandomize=bool(os.environ.get("CI")), print_blob=True)
settings.load_profile("ours")
