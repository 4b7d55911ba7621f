"""The verdict as a page: what was decided and why, what happened in each attempt, and a picture of its time.

In come verdicts, each with the standard and the log it was given by; out comes one HTML file that needs nothing
else. Of several candidates it begins with the class, a row for each.
"""
