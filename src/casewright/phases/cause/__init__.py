"""Cause: why it failed, by all that was found, and what has to be mended so that it stays whole."""

from casewright.phases.cause.evidence import Differing, FindingLine
from casewright.phases.cause.view import CauseLine, CauseView, StoryLine, view

__all__ = ["CauseLine", "CauseView", "Differing", "FindingLine", "StoryLine", "view"]
