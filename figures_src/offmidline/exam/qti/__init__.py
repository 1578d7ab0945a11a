"""A form of a paper as a package of questions that other systems read (QTI 2.2 [qti-2.2]).

It holds keys and feedback: it is the examiner's alone. What it cannot carry is listed inside it.
The grammars of what is written stand beside the code (RELAX NG).
"""

from offmidline.exam.qti.package import package

__all__ = ["package"]
