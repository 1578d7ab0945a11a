"""The handbook: a tree of pages made from cases, techniques and chapters.

``tree.build_tree`` is a library; the MkDocs plugin and ``offmidline write`` are two thin adapters
over it.
"""

from __future__ import annotations
