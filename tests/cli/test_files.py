"""What a command writes: whole or not at all, and nothing that is no file is put in a file's place."""

import os
import stat
import threading

from polewright.cli.files import write_whole


def test_a_pipe_is_written_to_and_stays_a_pipe(tmp_path):
    pipe, read = tmp_path / "pipe", []
    os.mkfifo(pipe)
    reader = threading.Thread(target=lambda: read.append(pipe.read_bytes()))
    reader.start()
    write_whole(pipe, b"two words")
    reader.join(timeout=120.0)
    assert read == [b"two words"]
    assert stat.S_ISFIFO(pipe.stat().st_mode)


def test_a_link_still_points_at_the_file_that_is_written(tmp_path):
    kept, link = tmp_path / "kept.pdf", tmp_path / "link.pdf"
    kept.write_bytes(b"old")
    link.symlink_to(kept)
    write_whole(link, b"new")
    assert link.is_symlink()
    assert kept.read_bytes() == b"new"
    assert sorted(p.name for p in tmp_path.iterdir()) == ["kept.pdf", "link.pdf"]
