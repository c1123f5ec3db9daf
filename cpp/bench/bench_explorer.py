"""How long the explorer takes to answer a move: processor time, with sizes held, on each demo.

The goal is a tenth of a second for each move on a demo system, the markup of the answers and of the
picture that is looked at included. What the browser then needs to show it comes on top.
"""

import statistics
import time
from collections.abc import Callable, Iterable
from pathlib import Path

import nightbus as nb
from nightbus.explore_answers import PICTURES

SYSTEMS = Path(__file__).parents[2] / "notebooks" / "systems"
SHARES = [0.85 + 0.01 * step for step in range(15)]
COLUMNS = ["opens", "watts", "length", "air", "sun", "sizes anew"]


def median_ms(explorer: nb.Explorer, moves: Iterable[Callable[[], object]]) -> float:
    """Median of the processor time of each move, markup included, in milliseconds."""
    times = []
    for move in moves:
        begun = time.process_time()
        move()
        explorer.verdict_html()
        explorer.picture_html(PICTURES[0])
        times.append(1000.0 * (time.process_time() - begun))
    return statistics.median(times)


def measure(path: Path) -> list[float]:
    """Milliseconds for the columns, on one demo."""
    begun = time.process_time()
    explorer = nb.explore(path)
    opens = 1000.0 * (time.process_time() - begun)
    load = explorer.system.loads[0].name
    run = explorer.feed_of(load)
    watts, length = explorer.system.load(load).typical_w, explorer.system.run(run).length_m

    def each(kind: str, name: str, field: str, texts: list[str]) -> float:
        moves = [lambda text=text: explorer.set(kind, name, field, text) for text in texts]
        return median_ms(explorer, moves)

    return [
        opens,
        each("load", load, "typical", [f"{share * watts:.4g} W" for share in SHARES]),
        each("run", run, "length", [f"{share * length:.4g} m" for share in SHARES]),
        each("site", "", "temp_hot", [f"{36 * share:.3g} °C" for share in SHARES]),
        median_ms(explorer, [lambda s=share: explorer.set_conditions(sun=s) for share in SHARES]),
        median_ms(explorer, [explorer.choose_sizes]),
    ]


def main() -> None:
    """Print a table."""
    print(f"{'ms of processor time':<28}" + "".join(f"{name:>12}" for name in COLUMNS))
    for path in sorted(SYSTEMS.glob("*.toml")):
        print(f"{path.stem:<28}" + "".join(f"{figure:12.0f}" for figure in measure(path)))


if __name__ == "__main__":
    main()
