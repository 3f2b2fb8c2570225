"""How files get onto the disk: each one whole, several as one, through faults, kills and power cuts.

A new file is first written beside its place under a name of its own, ``.palette.….part``, reaches the
disk, and then takes its name: a reader sees the old file or the new one. Taking several names is
not one step for any file system, so before the first a list of what is to happen, a *journal*
(``.palette.….pending``), reaches the disk as well. Before that moment a program that is killed has
changed nothing; after it, whoever writes or reads there next finishes what the list says. A fault
met on the way (a full disk, a name that is taken) puts back what stood there.

The order of steps asks of the disk only what Pillai et al., "All File Systems Are Not Created Equal"
(OSDI 2014), found to hold everywhere: a rename is one step, and what was synced is there.
"""

from palette.filing.journal import finish_interrupted
from palette.filing.together import make_folder, write_atomically, write_folder, write_together

__all__ = ["finish_interrupted", "make_folder", "write_atomically", "write_folder", "write_together"]
