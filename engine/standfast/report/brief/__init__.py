"""A standard said to the people it is for: the candidate's briefing, the grader's sheet and a picture of the test.

In comes a standard as meant; out come pages, each as text and as one HTML file that needs nothing else. What is
said is made once, as an outline of sentences, and the pages only choose from it and lay it out.
"""
