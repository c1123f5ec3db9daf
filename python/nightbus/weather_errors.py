"""What is said about a weather file: why it cannot be used, and what looks wrong in it."""

from __future__ import annotations

from nightbus import _core


class WeatherError(_core.Error, ValueError):
    """A weather file that cannot be used; the message says what is wrong and what to do.

    Examples
    --------
    >>> import nightbus as nb
    >>> nb.read_weather("nowhere.epw")
    Traceback (most recent call last):
        ...
    nightbus.weather.WeatherError: there is no weather file nowhere.epw
    """

    __module__ = "nightbus.weather"


class WeatherWarning(UserWarning):
    """A weather file that was used, though something in it looks wrong."""

    __module__ = "nightbus.weather"
