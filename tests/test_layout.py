"""The shape of the tree: what lint and import-linter cannot see. DEVELOPERS.md tells why each rule is there."""

import ast
import os
import re
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

from django.apps import apps

ROOT = Path(__file__).resolve().parent.parent
APPS_WITH_KERNELS = ("jobs", "weather", "crews")
CODE = ("roofops", *APPS_WITH_KERNELS)
DJANGO_NAMES = {
    *("models", "admin", "apps", "forms", "queries", "actions", "views", "api", "urls", "tasks", "migrations"),
    *("management", "templatetags", "sources"),
}
SOLVER = ("crews", "planner", "solver")
LONGEST_FILE = 300
LONGEST_FUNCTION = 45

# An app may point at the apps of a lower rank; two of the same rank do not know each other.
RANK = {"record": 0, "jobs": 1, "weather": 1, "crews": 2, "access": 3, "pages": 4, "roofops": 5}

NOT_OURS = {".git", ".venv", "data", "__pycache__", "node_modules", "test-results", ".hypothesis"}
TEXT_SUFFIXES = {
    *(".py", ".html", ".css", ".js", ".svg", ".md", ".toml", ".txt", ".in", ".yml", ".json", ".csv", ".geojson"),
    *(".sh", ".po", ".webmanifest", ""),
}
# Written in two halves, so that this file does not trip over itself.
FORBIDDEN_TEXT = [
    *(
        "pypi." + "org",
        "python" + "hosted",
        "registry." + "npmjs",
        "ghcr" + ".io",
        "docker" + ".io",
        "proxy." + "golang",
    ),
    *("/wo" + "rk/main", "/wo" + "rk/shared", "/ro" + "ot/", "/tmp/" + "brief"),
    *("TO" + "DO", "FIX" + "ME", "NotImplemented" + "Error"),
    *(
        "trade" + ".md",
        "design" + ".md",
        "style" + ".md",
        "stack" + ".md",
        "look" + ".md",
        "weather-" + "apis",
        "planner-" + "study",
    ),
]


def code_files(*folders: str) -> list[Path]:
    """Return the Python files of these top folders that people wrote."""
    found = [path for folder in folders for path in (ROOT / folder).rglob("*.py")]
    return sorted(path for path in found if "migrations" not in path.parts and "__pycache__" not in path.parts)


def is_kernel(path: Path) -> bool:
    """Say whether the file belongs to the pure part of its app."""
    parts = path.relative_to(ROOT).with_suffix("").parts
    return parts[0] in APPS_WITH_KERNELS and not DJANGO_NAMES & set(parts[1:])


def module_name(path: Path) -> str:
    """Return the dotted name of a file."""
    parts = path.relative_to(ROOT).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


def our_texts() -> Iterator[tuple[Path, str]]:
    """Yield every text file of the tree with its content."""
    for folder, subfolders, names in os.walk(ROOT):
        subfolders[:] = [name for name in subfolders if name not in NOT_OURS and not name.endswith("_cache")]
        for path in (Path(folder) / name for name in sorted(names)):
            if path.suffix in TEXT_SUFFIXES and not path.name.startswith(".coverage"):
                yield path, path.read_text(encoding="utf-8", errors="replace")


KERNELS = [path for path in code_files(*APPS_WITH_KERNELS) if is_kernel(path)]

IMPORT_ALL_WITHOUT = """
import importlib, sys

class Blocker:
    def find_spec(self, name, path=None, target=None):
        if name.split(".")[0] in {"django", "celery", "requests", "roofops"}:
            raise ImportError(f"{name} is not for kernels")

sys.meta_path.insert(0, Blocker())
faults = []
for name in sys.argv[1:]:
    try:
        importlib.import_module(name)
    except ImportError as error:
        faults.append(f"{name}: {error}")
print("\\n".join(faults))
"""


def import_faults(names: list[str], folder: Path = ROOT) -> list[str]:
    """Return what goes wrong when these modules are imported in a fresh process without Django and Celery."""
    command = [sys.executable, "-c", IMPORT_ALL_WITHOUT, *names]
    answer = subprocess.run(command, cwd=folder, capture_output=True, text=True, check=False, timeout=120)
    assert answer.returncode == 0, answer.stderr
    return answer.stdout.split("\n")[:-1] if answer.stdout.strip() else []


def test_every_kernel_imports_where_django_celery_and_requests_are_blocked() -> None:
    assert KERNELS
    assert import_faults([module_name(path) for path in KERNELS]) == []


def test_the_import_check_catches_a_planted_fault(tmp_path: Path) -> None:
    (tmp_path / "pure.py").write_text("import math\n")
    (tmp_path / "impure.py").write_text("def late(): pass\nfrom django.db import models\n")
    assert import_faults(["pure", "impure"], tmp_path) == ["impure: django is not for kernels"]


def test_no_kernel_asks_the_clock_opens_files_or_draws_unseeded_numbers() -> None:
    asks = re.compile(
        r"datetime\.now\(|date\.today\(|time\.time\(|monotonic\(|perf_counter\(|\bopen\(|read_text\("
        # A seeded `random.Random` or numpy Generator is handed in; the modules' own functions share hidden state.
        r"|^import random$|np\.random\.(rand|randn|seed|normal|random|choice)\(",
        re.MULTILINE,
    )
    assert [str(path.relative_to(ROOT)) for path in KERNELS if asks.search(path.read_text())] == []


def test_only_the_solver_folder_imports_a_solver() -> None:
    solver = re.compile(r"^\s*(from|import) (ortools|highspy)", re.MULTILINE)
    users = [path for path in code_files(*CODE) if solver.search(path.read_text())]
    assert [str(path) for path in users if path.relative_to(ROOT).parts[:3] != SOLVER] == []


def test_only_the_forecast_sources_talk_to_the_network() -> None:
    network = re.compile(
        r"^\s*(from|import) (requests|urllib3|urllib\.request|http\.client|httpx|socket)\b", re.MULTILINE
    )
    users = {path.relative_to(ROOT) for path in code_files(*CODE) if network.search(path.read_text())}
    outside = {path for path in users if path.parts[:2] != ("weather", "sources")}
    # `up` asks its own web server whether it answers.
    assert outside == {Path("roofops/management/commands/up.py")}


def test_only_one_place_asks_what_time_it_is() -> None:
    asks = re.compile(r"timezone\.now\(|timezone\.localtime\(\)|datetime\.now\(|date\.today\(|auto_now")
    files = [path for path in code_files(*CODE) if asks.search(path.read_text())]
    assert files == [ROOT / "roofops/record/clock.py"]


def test_no_file_is_too_long() -> None:
    files = [path for path in code_files(*CODE, "tests") if len(path.read_text().splitlines()) > LONGEST_FILE]
    assert [str(path.relative_to(ROOT)) for path in files] == []


def test_no_function_is_too_long() -> None:
    long = []
    for path in code_files(*CODE):
        for node in ast.walk(ast.parse(path.read_text())):
            if isinstance(node, ast.FunctionDef):
                start = node.body[0].end_lineno if ast.get_docstring(node) else node.lineno
                lines = (node.end_lineno or 0) - (start or 0)
                if lines > LONGEST_FUNCTION:
                    long.append(f"{path.relative_to(ROOT)}:{node.lineno} {node.name} has {lines} lines")
    assert long == []


def test_file_names_are_subjects_not_role_words() -> None:
    words = {"utils.py", "util.py", "helpers.py", "helper.py", "services.py", "common.py", "misc.py"}
    assert [str(path) for path in code_files(*CODE, "tests") if path.name in words] == []


def test_the_tests_are_no_packages() -> None:
    assert list((ROOT / "tests").rglob("__init__.py")) == []


def test_no_relative_imports() -> None:
    relative = re.compile(r"^\s*from \.", re.MULTILINE)
    assert [str(path) for path in code_files(*CODE, "tests") if relative.search(path.read_text())] == []


def test_foreign_keys_point_down_and_lower_apps_cannot_reach_up_through_them() -> None:
    wrong = []
    for model in apps.get_models():
        if model._meta.app_label not in RANK:
            continue
        for key in model._meta.get_fields():
            target = key.related_model if key.is_relation and key.concrete else None
            if not isinstance(target, type) or target._meta.app_label not in RANK:
                continue
            mine, other = model._meta.app_label, target._meta.app_label
            if mine == other:
                continue
            if RANK[mine] <= RANK[other]:
                wrong.append(f"{model.__name__}.{key.name} points up or sideways at {other}")
            elif not key.remote_field.related_name.endswith("+"):
                wrong.append(f"{model.__name__}.{key.name} needs related_name='+'")
    assert wrong == []


def test_messages_are_sent_after_the_commit_only() -> None:
    bare = re.compile(r"\.(delay|apply_async|send_task)\(")
    allowed = {"tasks.py", "dispatch.py"}
    assert [str(path) for path in code_files(*CODE) if path.name not in allowed and bare.search(path.read_text())] == []


def test_pages_tasks_forms_and_queries_save_nothing() -> None:
    saves = re.compile(
        r"\.save\(|\.bulk_(create|update)\(|objects\.(create|update|get_or_create|update_or_create)\(|\.delete\(\)"
    )
    readers = {"views", "queries", "forms", "tasks", "management", "pages", "admin"}
    faults = [
        str(path.relative_to(ROOT))
        for path in code_files(*APPS_WITH_KERNELS, "roofops/pages")
        if readers & set(path.relative_to(ROOT).with_suffix("").parts) and saves.search(path.read_text())
    ]
    assert faults == []


def test_the_tree_names_no_registry_no_path_of_a_machine_and_leaves_nothing_for_later() -> None:
    found = [
        f"{path.relative_to(ROOT)}: {word}" for path, text in our_texts() for word in FORBIDDEN_TEXT if word in text
    ]
    assert found == []


def test_templates_have_no_inline_script_style_or_handler() -> None:
    inline = re.compile(r"<script(?![^>]*\bsrc=)[^>]*>|<style|\sstyle=|\son[a-z]+=|javascript:")
    pages = [path for path in (ROOT / "templates").rglob("*") if path.suffix in (".html", ".svg")]
    assert [str(path.relative_to(ROOT)) for path in pages if inline.search(path.read_text())] == []


def test_pinned_requirements_hold_no_address() -> None:
    for name in ("requirements.txt", "requirements-dev.txt"):
        text = (ROOT / name).read_text()
        assert "://" not in text
        assert re.search(r"^django==5\.2\.", text, re.MULTILINE)


def test_every_variable_that_the_settings_read_is_explained() -> None:
    read = re.findall(r'env\.\w+\("(\w+)"', (ROOT / "roofops/settings.py").read_text())
    explained = (ROOT / "DEVELOPERS.md").read_text()
    assert [name for name in read if f"| `{name}` |" not in explained] == []
