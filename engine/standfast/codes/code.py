"""What a diagnostic code is.

A message is lower case without a closing full stop, names the thing in backquotes, and says what was found
before what was expected; a help line is something the author can do.
"""

from collections.abc import Mapping

from standfast.values import frozen


@frozen
class Code:
    """One kind of finding.

    `message` and `helps` are templates filled from a diagnostic's facts. The help that is shown is the first
    whose facts are all present, so that one with a near name may stand before a help without a near name; that of
    a doubt also says how to accept it, if a line of a standard can: it cannot where it is `about_files`.
    `about` is the explanation for an author who asks; `severity` is `error`, `doubt` or `advice`.
    """

    number: str
    title: str
    message: str
    helps: tuple[str, ...]
    about: str
    severity: str = "error"
    about_files: bool = False

    def help_for(self, facts: Mapping[str, str]) -> str:
        from string import Formatter  # only where something is told

        for template in self.helps:
            needed = {name for _, name, _, _ in Formatter().parse(template) if name}
            if needed <= facts.keys():
                meant = f'; or, if it is meant, write `accept {self.number} "why"` in its block'
                return template.format_map(facts) + (
                    meant if self.severity == "doubt" and not self.about_files else ""
                )
        return ""
