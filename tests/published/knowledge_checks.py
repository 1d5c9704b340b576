"""Numbers of the knowledge base against what was published beside or apart from them."""

from __future__ import annotations

from checks import Check

TAKAGI = "Takagi 1976, Jpn J. Appl. Entomol. Zool. 20:157-163, Pteromalus puparum by its printed equation"
WASP = [
    # °C, days
    (18, 36.8),
    (20, 27.4),
    (22, 21.8),
    (25, 16.7),
    (28, 13.5),
    (30, 12.0),
]
KAYKAI = "Trichogramma kaykai, abstract: 7.0 (cured) and 7.1 (infected) days at 30 °C; the sums 127.71 and 132.10 above 12.0 °C"
PRINCIPIUM = "Trichogramma principium, abstract: 26.96 days at 17 °C with 12 h of light; another species than the rule's"
FIELD_TRICHOGRAMMA = "Extension summaries on Trichogramma: 14 days at 21 °C"
EGG_WASP = [
    # source, °C, days, tolerance in days
    (KAYKAI, 30, 7.05, 0.25),
    (PRINCIPIUM, 17, 26.96, 1.5),
    (FIELD_TRICHOGRAMMA, 21, 14.0, 1.0),
]
PEACOCK = "reared at 25 °C in Korea (2013): larva 18.3 and pupa 8.4 days; threshold and sum by Bryant, Thomas & Bale 1997"
LARGE_WHITE = "David & Gardiner 1962: their sums against their own larvae (11 days at 30 °C) and pupae (7.5 days at 30 °C)"
JEZEBEL = "Braby & Lyonns 2003: 29 days at 27 °C by observation"
PANSIES = "Rayalu et al. 2012, J. almana at 28 °C: 24.4 days less 3 of the egg; sums of J. orithya by Hirai et al. 2011"
ORANGE_SULPHUR = "Allen & Smith 1958, Table 2: the stages add up to egg to adult within rounding of their table"


def _days(base, species: str, stage: str, celsius: float) -> float:
    row = next(row for row in base.thermal(species) if row.stage == stage)
    return row.degree_days / (celsius - row.base)


def _enemy(base, name: str, source: str, celsius: float, days: float, tolerance: float) -> Check:
    def computed() -> float:
        agent = base.agent(name)
        return agent.degree_days / (celsius - agent.base)

    return Check(source, f"{name}, days at {celsius} °C", days, computed, tolerance)


def _sulphur(base, celsius: float) -> Check:
    mean = {row.stage: row.mean for row in base.durations("Colias eurytheme") if row.temperature == celsius}
    about = f"Colias eurytheme, days of egg, larva and pupa at {celsius} °C"
    return Check(ORANGE_SULPHUR, about, mean["egg_to_adult"], lambda: mean["egg"] + mean["larva"] + mean["pupa"], 0.15)


def checks(base) -> list[Check]:
    """`base` is the knowledge base."""

    def pansy() -> float:
        return _days(base, "Junonia orithya", "larva", 28) + _days(base, "Junonia orithya", "pupa", 28)

    return [
        *(_enemy(base, "Pteromalus puparum", TAKAGI, *row, 0.05) for row in WASP),
        *(_enemy(base, "Trichogramma", *row) for row in EGG_WASP),
        Check(
            PEACOCK, "Aglais io, days from hatching at 25 °C", 26.7, lambda: _days(base, "Aglais io", "larva_to_adult", 25), 0.3
        ),
        Check(
            LARGE_WHITE, "Pieris brassicae, larva at 30 °C", 11, lambda: _days(base, "Pieris brassicae", "larva", 30), 0.15, True
        ),
        Check(
            LARGE_WHITE, "Pieris brassicae, pupa at 30 °C", 7.5, lambda: _days(base, "Pieris brassicae", "pupa", 30), 0.05, True
        ),
        Check(
            JEZEBEL, "Delias nigrina, days at 27 °C", 29, lambda: _days(base, "Delias nigrina", "larva_to_adult", 27), 0.06, True
        ),
        Check(PANSIES, "Junonia, larva and pupa at 28 °C", 21.4, pansy, 1.2),
        *(_sulphur(base, celsius) for celsius in (15, 20, 30, 32)),
    ]
