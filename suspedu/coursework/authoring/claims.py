"""Which sentences of a lesson claim something: a number, or more, less, never and their like.

What it cannot see: a claim without such a word ("the curve bends"), and one that stands in a question, in what
somebody says in quotation marks, in a formula, in an answer to be predicted, in a hint, or behind an order.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

SHARES = {
    "half a centimetre": 5.0, "half": 0.5, "halves": 0.5, "third": 1 / 3, "thirds": 2 / 3, "quarter": 0.25,
    "quarters": 0.75, "fifth": 0.2, "fifths": 0.8, "eighth": 0.125, "tenth": 0.1, "tenths": 0.9, "twentieth": 0.05,
    "twice": 2.0, "double": 2.0, "sixteenfold": 16.0, "eight": 8.0, "sixteen": 16.0, "twenty": 20.0, "fifty": 50.0,
    "centimetre": 10.0,
}  # fmt: skip
NUMERAL = re.compile(r"(?<![\w.])[-−+]?\d+(?: \d{3})*(?:\.\d+)?(?![\d.]*W)")
STEMS = ("steep|flatt|stiff|soft|hard|deep|high|long|short|thick|thinn|fast|slow|larg|small|wid|narrow|light|heavi|"
         "firm|soon|clos|cheap|weak|strong|earli|furth|bigg|calm|gentl")
WORDS = "more|less|most|least|fewer|never|always|hardly|nearly|almost|mostly|whatever|nothing|nobody|none|better|worse"
COMPARING = re.compile(rf"\b(?:{WORDS}|(?:{STEMS})(?:er|ier|est|iest)|{'|'.join(SHARES)})\b", re.IGNORECASE)
# An order asks for something and claims nothing; aims ("say how...", "tell...") have its form.
VERBS = (
    "pin|take|reset|find|look|go|turn|try|put|read|move|change|choose|ride|walk|measure|press|lift|keep|give|get|pour|"
    "work (?:it )?(?:out|on)|begin|compare|predict|watch|see|set|make|multiply|shut|open|halve|do|ask|count|write|"
    "never|play|warm|let|stiffen|divide|sum|note|suppose|build|leave|add|complete|fit|mind|say|run|learn|know|use|catch|"
    "click|derive|explain|tell|name|balance|recognise|show|bring|buy|confirm|conclude|step|hold|start|check|slow down")
ORDER = re.compile(rf"(?:(?:then|now|first|so|but|and|reset|predict|pin)[,.;:]? )*(?:{VERBS})\b", re.IGNORECASE)
SOURCED = re.compile(r"†|\(printed|\(guess of the course|\(ISO |\(free-streamline theory\)")
FRAME = re.compile(r"Takes about \d+ minutes|starts everything|most of it is folded away")
NO_CLAIMS = ("## Cautions", "## Sources", "## Next", "## Before you touch", "## How to work a panel")
PLACE = r"\b(?:lessons?|riders?|machines?|exercise) (?:\d+(?:, | and | or | to )?)+"
NOT_SAID = re.compile(rf"\$\$?[^$]*\$\$?|`[^`]*`|\"[^\"]*\"|{PLACE}", re.IGNORECASE)


def as_read(text: str) -> str:
    """Markdown as it is read: no links, no stars, one blank between words.

    >>> as_read("a *[shim](page.ipynb#Glossary)*,\\nbent")
    'a shim, bent'
    """
    return " ".join(re.sub(r"\*+", "", re.sub(r"\[([^\]]*)\]\([^)]*\)", r"\1", text)).split())


def sentences(text: str) -> Iterator[str]:
    """Sentences of Markdown, but for headings, tables, blocks of code and sections that only order, warn or cite.

    >>> list(sentences("# A\\n\\nOne is more. Two are *less*:\\n\\n- a\\n- b\\n\\n## Next\\n\\nThree."))
    ['One is more.', 'Two are less:', 'a', 'b']
    """
    text = re.sub(r"```.*?```", "", text, flags=re.DOTALL)
    for section in re.split(r"^(?=## )", text, flags=re.MULTILINE):
        if section.startswith(NO_CLAIMS):
            continue
        if section.startswith("## Common slips"):  # in bold stands the slip itself, which is not the lesson's word
            section = re.sub(r"^- \*\*[^*]*\*\*", "- ", section, flags=re.MULTILINE)
        for block in re.split(r"\n\s*\n|\n(?=#|- |\d+\. |\|)", section):
            if block.strip() and not block.lstrip().startswith(("#", "|")):
                said = as_read(re.sub(r"^\s*(?:- |\d+\. )", "", block))
                yield from re.split(r"(?<=[.!?:])\)?\"? (?=[A-Z\"($])", said)


def is_claim(sentence: str) -> bool:
    """Whether a sentence claims something that a computed line has to stand behind.

    >>> [is_claim(text) for text in ("It is 5 mm deep.", "Is it deeper?", "Take it deeper.", "It is deeper†.")]
    [True, False, False, False]
    """
    if sentence.rstrip('")').endswith("?") or SOURCED.search(sentence) or FRAME.search(sentence):
        return False
    said = NOT_SAID.sub(" ", sentence)
    return not ORDER.match(said.strip()) and bool(NUMERAL.search(said) or COMPARING.search(said))


def claims(text: str) -> list[str]:
    """Sentences of Markdown that claim something."""
    return [sentence for sentence in sentences(text) if is_claim(sentence)]


def numerals(sentence: str) -> list[str]:
    """The numbers that a sentence prints, but for those of lessons and riders.

    >>> numerals("Rider 8 has 2.5 mm, or −3 per cent, of 12 400 N.")
    ['2.5', '−3', '12 400']
    """
    return NUMERAL.findall(NOT_SAID.sub(" ", sentence))
