"""`python -m annotator` in a stranger's folder takes no module that lies there for its own."""

import subprocess
import sys
from pathlib import Path

from tests.running import surroundings

ROOT = Path(__file__).resolve().parents[2]


MODULES = ("click", "av", "cv2", "json", "msgspec", "traceback", "numpy", "sitecustomize")


def test_a_module_beside_a_recording_is_not_run(tmp_path: Path) -> None:
    for name in MODULES:
        (tmp_path / f"{name}.py").write_text(f"from pathlib import Path\nPath('RUN-{name}').touch()\n")
    command = [sys.executable, "-m", "annotator", "inspect", str(ROOT / "sample_media" / "short-silent.mkv")]
    done = subprocess.run(command, cwd=tmp_path, capture_output=True, check=False, env=surroundings(tmp_path / "home"))
    assert done.returncode == 0, done.stderr
    assert [path.name for path in tmp_path.glob("RUN-*")] == []
