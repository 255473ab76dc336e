"""Django's settings for the tests: the shop's own, in a folder of their own."""

from __future__ import annotations

import os
import tempfile

os.environ["CASEWRIGHT_HOME"] = tempfile.mkdtemp(prefix="casewright-tests-")

from casewright.shop.settings import *  # noqa: F403
