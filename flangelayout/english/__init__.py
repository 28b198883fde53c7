"""Every English sentence that a problem is told in; another language is another package with these modules.

One module per room, named as the room's kinds in :mod:`flangelayout.problems`; ``cures`` words what can be done.
"""
