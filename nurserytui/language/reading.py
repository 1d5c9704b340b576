"""One line while it is being read: its words in every form the readers need, and the spans they propose."""

from datetime import datetime
from typing import Any, NamedTuple

from nurserytui.language.chat_spellings import spelt
from nurserytui.language.line import Token
from nurserytui.language.mistyped import righted
from nurserytui.language.normalise import breaks, cut, key, tokenise
from nurserytui.language.thumbs import mended
from nurserytui.language.vocabulary import Vocabulary, spelling


class Proposal(NamedTuple):
    """A possible span. Of two that overlap the longer wins, then the lower `rank`, then the surer."""

    first: int
    last: int
    kind: str
    value: Any
    rank: int = 5
    sure: float = 1.0


class Reading:
    """The words of a line: `words` normalised, `raw` as typed, `keys` stemmed for look-up; `clauses` are tokens that end a clause."""

    def __init__(self, text: str, vocabulary: Vocabulary, now: datetime, settings: Any) -> None:
        self.text = cut(text)
        own = mended(spelt(tokenise(self.text), vocabulary), self.text, vocabulary)
        self.tokens: tuple[Token, ...] = righted(own, self.text, vocabulary)
        self.words = [token.text for token in self.tokens]
        self.raw = [self.text[token.start : token.end] for token in self.tokens]
        self.keys = [spelling(key(word)) for word in self.words]
        self.clauses = breaks(self.text, self.tokens)
        self.vocabulary, self.now, self.settings = vocabulary, now, settings
        self.fahrenheit = str(getattr(settings, "units", "") or "C").upper().startswith("F")

    def __len__(self) -> int:
        return len(self.words)

    def word(self, at: int) -> str:
        """The normalised word at a place, "" outside the line."""
        return self.words[at] if 0 <= at < len(self.words) else ""

    def attached(self, at: int) -> bool:
        """Whether token `at` follows the one before without a space."""
        return 0 < at < len(self.tokens) and self.tokens[at - 1].end == self.tokens[at].start

    def capital(self, at: int) -> bool:
        """Whether the token was typed as a single capital letter."""
        return len(self.raw[at]) == 1 and self.raw[at].isupper()
