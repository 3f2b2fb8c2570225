"""Hostile input for every reader of files: what comes out is a result or one sentence.

::

    readers/<name>.py   one module per reader: `target(data)`, `seeds()`, `WORDS`, `heavy()`
    judging.py          whether one outcome is a result, a refusal or a fault of ours
    hostile.py          numbers, texts and encodings nobody means, and how to plant them
    desk.py             the folder that inputs are laid into as files
    worker.py           one coverage-guided process, with its limits
    run.py              the long run: ``python tests/fuzz/run.py --reader svg --inputs 100000 --seed 1``
    shrinking.py        the smallest input with the same fault

An input that once was a fault stays in ``tests/data/found/<reader>/`` and is read in every default
run (`test_hostile_input.py`), beside a few hundred fresh ones.
"""
