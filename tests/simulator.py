"""Runs a netlist in ngspice and reads its curves."""

import subprocess
from pathlib import Path

Curve = list[tuple[float, ...]]
"""Rows of frequency or time and the values asked for."""


def simulate(netlist: str, commands: str, folder: Path) -> str:
    """Run ngspice commands on a netlist; what it prints.

    Args:
        netlist: Ends in ``.end``; its first line is a title.
        commands: What a user would type, a line each.
        folder: Where netlist and data are written.
    """
    control = f".control\nset wr_singlescale\nset numdgt=12\n{commands}\nquit 0\n.endc\n.end\n"
    body = netlist.rstrip().removesuffix(".end")
    file = folder / "circuit.cir"
    file.write_text(body + control)
    done = subprocess.run(
        ["ngspice", "-b", file], check=True, capture_output=True, text=True, cwd=folder
    )
    return done.stdout


def curve(file: Path) -> Curve:
    """The rows that ``wrdata`` wrote."""
    return [tuple(float(x) for x in line.split()) for line in file.read_text().splitlines()]


def printed(output: str, name: str) -> float:
    """The value that ``print`` gave for a name."""
    lines = [line for line in output.splitlines() if line.startswith(f"{name} =")]
    return float(lines[-1].split("=")[1])
