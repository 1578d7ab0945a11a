"""The charts, each by its name."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from importlib import import_module
from typing import Final, cast

from offmidline.figures.chart import Chart

# A chart is the constant CHART of the module of its name.
_NAMES: Final = ("forest", "follow-up", "icons", "timeline", "cusum")


class _Charts(Mapping[str, Chart]):
    """The charts by their names; each is imported when it is first asked for."""

    def __getitem__(self, name: str) -> Chart:
        if name not in _NAMES:
            raise KeyError(name)
        module = import_module(f"{__name__}.{name.replace('-', '_')}")
        return cast(Chart, module.CHART)

    def __iter__(self) -> Iterator[str]:
        return iter(_NAMES)

    def __len__(self) -> int:
        return len(_NAMES)


CHARTS: Final[Mapping[str, Chart]] = _Charts()
