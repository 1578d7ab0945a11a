"""What is printed of a paper: the candidates' paper, the key, and the sheet for the answers.

reportlab sets the text and leaves a place for each figure; pypdf puts the figure's own PDF there,
so that lines stay lines and lengths stay true.
"""
