"""Loaded by every Python process that a test starts while the map is made: its lines belong to that test."""

import contextlib
import multiprocessing.util
import os

FOLDER = os.environ.get("POLEWRIGHT_MUTANT_MAP", "")
TEST = os.environ.get("POLEWRIGHT_MUTANT_TEST", "")

if FOLDER and TEST:
    with contextlib.suppress(ImportError):
        import coverage

        _measured = coverage.Coverage(
            data_file=os.path.join(FOLDER, "lines"),  # noqa: PTH118 - keep the start of a process light
            data_suffix=True,
            config_file=False,
            source=os.environ["POLEWRIGHT_MUTANT_SOURCE"].split(os.pathsep),
            context=TEST,
        )
        _measured.start()

        def _save_at_end(measured: coverage.Coverage) -> None:
            def save() -> None:
                measured.stop()
                measured.save()

            multiprocessing.util.Finalize(None, save, exitpriority=-100)

        import atexit

        atexit.register(_measured.save)
        multiprocessing.util.register_after_fork(_measured, _save_at_end)
