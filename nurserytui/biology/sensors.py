"""What a thermometer can say of the air of a nursery, and what it says when it fails. The one place that decides this."""

COLDEST, HOTTEST = -60.0, 70.0
"""°C outside which no reading is the air of a nursery: the first is colder than any winter that a cage stands in, the second hotter than a
closed glass frame in the sun."""
FAILED = (85.0, -127.0)
"""°C that common digital sensors give instead of a temperature: just switched on, not connected."""


def impossible(celsius: float | None) -> str:
    """Why a value in °C cannot be a reading, or ""."""
    if celsius is not None and COLDEST <= celsius <= HOTTEST:
        return ""
    if celsius is None:
        return "nothing is no temperature of a nursery"
    failed = " (the value of a sensor that failed)" if round(celsius, 1) in FAILED else ""
    return f"{celsius:g} °C is no temperature of a nursery{failed}"
