"""A small nursery as an events table, for tests."""

from __future__ import annotations

NURSERY = """when,what,cohort,mark,species,stage,instar,count,enclosure,to,host,detail,note
2031-05-01,setting,,,,,,,,,,timezone=Europe/Paris,
2031-05-01T10:00,laid,kale-1,,Pieris rapae,egg,,~30,jar,,Brassica oleracea,,"on the ""red"" kale, row 2"
2031-05-06,hatched,kale-1,,,,,24,jar,,,,
2031-05-07,checked,kale-1,,,,,,jar,,,,
2031-05-07,moved,kale-1,,,larva,,10,jar,tub 1,,,
2031-05-08,found,N,1,Vanessa atalanta,larva,4,1,tub 1,,Urtica dioica,,
2031-05-08,found,N,2,Vanessa atalanta,larva,4,1,tub 1,,Urtica dioica,,
2031-05-09T09:00,moved,,,,,,,tub 1,tub 2,,,
2031-05-09T10:00,cleaned,,,,,,,tub 1,,,,
2031-05-12,pupated,N,1,,,,,tub 2,,,,
2031-05-13,died,kale-1,,,larva,,2,tub 2,,,virus,
2031-05-13,temperature,,,,,,,tub 2,,,68..79 F,
2031-05-14,found,,,unknown,larva,,3,box,,,,
"""
HEADS = {
    ("kale-1", "egg", "jar"): 6,
    ("kale-1", "larva", "jar"): 14,
    ("kale-1", "larva", "tub 2"): 8,
    ("N", "pupa", "tub 2"): 1,
    ("N", "larva", "tub 2"): 1,
    ("A", "larva", "box"): 3,
}


def summed(heads) -> dict:
    """The headcount without marks and instars."""
    found: dict = {}
    for key, count in heads.items():
        spot = (key.cohort, key.stage, key.enclosure)
        found[spot] = found.get(spot, 0) + count
    return found
