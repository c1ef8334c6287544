"""Text made comparable: case, accents and wide or joined letters make no difference, in any script."""

from __future__ import annotations

import unicodedata

# Letters of Latin scripts that are letters of their own and not a letter with an accent.
_OWN = str.maketrans(
    {"ø": "o", "đ": "d", "ł": "l", "ħ": "h", "ŧ": "t", "ı": "i", "æ": "ae", "œ": "oe", "þ": "th", "ð": "d"}
)


def fold(text: str) -> str:
    """Returns the text for comparing.

    >>> fold("ÉQUIPE Straße"), fold("Łódź"), fold("ＡＢ"), fold("שָׁלוֹם")
    ('equipe strasse', 'lodz', 'ab', 'שלום')
    """
    if text.isascii():
        return text.lower()
    apart = unicodedata.normalize("NFKD", text.casefold())
    bare = "".join(letter for letter in apart if unicodedata.category(letter) != "Mn")
    return bare.casefold().translate(_OWN)


def rank(words: list[str], text: str) -> int | None:
    """Returns how well folded words fit a folded text, 0 best; none when one of them is not in it.

    >>> rank(["in"], "inside zone"), rank(["zone"], "inside zone"), rank(["one"], "inside zone"), rank(["x"], "zone")
    (0, 1, 2, None)
    """
    worst = 0
    for word in words:
        at = text.find(word)
        if at < 0:
            return None
        while at > 0 and text[at - 1].isalnum():
            again = text.find(word, at + 1)
            if again < 0:
                break
            at = again
        starts = at == 0 or not text[at - 1].isalnum()
        worst = max(worst, (0 if text.startswith(words[0]) else 1) if starts else 2)
    return worst
