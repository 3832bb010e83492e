"""The templates, without their indents and the lines that only a tag stands on: each would be an empty line of a page.

Kept short so that a page travels light: a browser makes one space of any.
"""

import re

from django.template import Origin
from django.template.loaders import filesystem

_SAYS_NOTHING = (
    r"(?:if|elif|else|endif|for|empty|endfor|with|endwith|load|block|endblock|extends)\b[^%]*"
    r"|(?:url|translate)\b[^%]*\bas \w+\s*"
)
_COMMENT = re.compile(r"^[ \t]*\{% comment %\}.*?\{% endcomment %\}[ \t]*\n", re.MULTILINE | re.DOTALL)
_INDENT = re.compile(r"^[ \t]+", re.MULTILINE)
_LINE = re.compile(rf"^[ \t]*((?:\{{%\s*(?:{_SAYS_NOTHING})%\}}|\{{#[^#\n]*#\}}|[ \t])+)\n", re.MULTILINE)


class Loader(filesystem.Loader):
    def get_contents(self, origin: Origin) -> str:
        """The text of a template; raises TemplateDoesNotExist as its base does."""
        text = _LINE.sub(lambda found: found[1].strip(), _COMMENT.sub("", super().get_contents(origin)))
        return _INDENT.sub("", text)
