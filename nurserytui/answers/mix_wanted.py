"""Words beside a per cent by which it is that of the stock which is there, or that of the mix which is wanted."""

import re

_OWNED = re.compile(r"\b(have|'ve|ive|got|own|mine|my)\b")
_WANTED = re.compile(r"\b(need|want|wanted|like|after|make|making|get me|target)\b(?!.*\b(have|'ve|ive|got|my)\b)")
_WANTED_AFTER = re.compile(r"^\s*(\w+ ){0,2}(is |are )?(wanted|needed|required|called for|asked for|the target|to be made)\b")
_THERE_BEFORE = re.compile(
    r"\b(there is|there's|there are|theres|here is|only|just|nothing but|all)( is| in| of)?\s*$|\b(only|all)( [a-z']+){1,4} (is|are)\s*$"
)
_THERE_AFTER = re.compile(
    r"^\s*(\w+ ){0,2}(is |are )?(all|to hand|here|there|available|on the shelf|in (the|my) (cupboard|shed|house))\b"
)


def owned(before: str) -> bool:
    """`I have 6 %`."""
    return bool(_OWNED.search(before))


def there(before: str, after: str) -> bool:
    """`there is only 6 %`, `6 % in the cupboard`."""
    return bool(_THERE_BEFORE.search(before) or _THERE_AFTER.search(after))


def wanted(before: str, after: str) -> bool:
    """`need 0.5 %`, `0.5 % hypochlorite needed`."""
    return bool(_WANTED.search(before) or _WANTED_AFTER.search(after))
