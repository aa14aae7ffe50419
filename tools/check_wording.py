#!/usr/bin/python3
"""Sweeps what the project prints and tells for things that may not stand there.

Everywhere: paths of one machine, hosts of package registries, marks of unfinished work. In texts and in the string literals
of sources: the wording that is never printed. The full rule is caution::forbidden_wording, which the tests hold against what
the program prints; this is the quick sweep of what is written down.
"""
import re
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
PLACES = ["src", "demo", "bench", "fuzz", "web/src", "web/index.html", "web/package.json", "web/package-lock.json", "api",
          "profiles", "legends", "docs", "README.md", "ARCHITECTURE.md", "CONTRIBUTING.md", "CHANGELOG.md"]
TEXTS = {".md", ".toml", ".html", ".svelte", ".yaml"}
SOURCES = {".cpp", ".h", ".ts", ".js", ".css", ".json", ".cmake", ".txt"}
# Files that speak of the wording itself.
ABOUT_WORDING = {"src/caution/wording.cpp", "src/caution/include/stumpwise/caution/caution.h"}

ANYWHERE = [
    (re.compile(r"(?<![\w.$}])/(?:home|Users|root|work|mnt|media)/\w"), "path of one machine"),
    (re.compile(r"\b[A-Z]:\\\\?Users\b"), "path of one machine"),
    (re.compile(r"registry\.(npmjs|yarnpkg)\.\w+|pypi\.org|files\.pythonhosted\.org|deb\.debian\.org|proxy\.golang\.org|crates\.io"),
     "host of a package registry"),
    (re.compile(r"\b(TODO|FIXME|XXX|HACK)\b"), "mark of unfinished work"),
]
WORDING = [
    (re.compile(r"(?<!not )(?<!never )(?<![\w-])safe(?![\w-])", re.I), "'safe'"),
    (re.compile(r"\b(safely eaten|eaten safely|eat safely|confirmed edible|fool-?\s?proof|idiot-?proof)\b", re.I), "a promise"),
    (re.compile(r"\bedible\s*[:=]\s*\"?(yes|true)\b", re.I), "a promise"),
    (re.compile(r"\bno\s+(dangerous\s+)?(look-?\s?alikes?|doubles)\b(?!\s+(in|of)\b)", re.I), "a promise"),
    (re.compile(r"(?<![\d.])100(\.0+)?\s?(%|percent|per cent)(?!\s*[;}\"'])", re.I), "a certainty"),
]
LITERAL = re.compile(r'R"(\w*)\((.*?)\)\1"|"((?:[^"\\\n]|\\.)*)"', re.S)


def files():
    for place in PLACES:
        start = ROOT / place
        found = [start] if start.is_file() else sorted(start.rglob("*")) if start.is_dir() else []
        for path in found:
            if path.is_file() and path.suffix in TEXTS | SOURCES and "corpus" not in path.parts:
                yield path


def spoken(path, text):
    """(offset, text) of what a person may read."""
    if path.suffix in TEXTS:
        # Styles have lengths of a hundred percent.
        yield 0, re.sub(r"<style.*?</style>", lambda m: re.sub(r"[^\n]", " ", m.group(0)), text, flags=re.S)
    elif path.suffix in (".cpp", ".h", ".ts"):
        bare = re.sub(r"(?m)^\s*//.*$", lambda m: " " * len(m.group(0)), text)
        for match in LITERAL.finditer(bare):
            yield match.start(), match.group(2) if match.group(2) is not None else match.group(3)


def main():
    faults, count = [], 0
    for path in files():
        count += 1
        where, text = str(path.relative_to(ROOT)), path.read_text(encoding="utf-8", errors="replace")

        def tell(offset, match, what):
            line = text.count("\n", 0, offset) + 1
            faults.append(f"{where}:{line}: {what}: {match.group(0)!r}")

        for pattern, what in ANYWHERE:
            for match in pattern.finditer(text):
                tell(match.start(), match, what)
        if where in ABOUT_WORDING:
            continue
        for offset, part in spoken(path, text):
            for pattern, what in WORDING:
                for match in pattern.finditer(part):
                    tell(offset + match.start(), match, what)
    for fault in faults:
        print(fault, file=sys.stderr)
    print(f"wording: {count} files, {len(faults)} faults")
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main())
