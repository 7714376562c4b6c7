"""Computes: knowledge in, findings in, verdict out. Never prints, never prompts."""

from engine.base import Base
from engine.loading import load
from engine.problems import KnowledgeError, Place, Problem
from engine.session import Answer, Ask, End, Fill, Session, Warn

__all__ = ["Answer", "Ask", "Base", "End", "Fill", "KnowledgeError", "Place", "Problem", "Session", "Warn", "load"]
