#!/usr/bin/python3
"""The order of the layers as the sources really have it.

check_layers.py           prints the include edges between modules; fails when one breaks the order
check_layers.py --write   also puts the edge list into ARCHITECTURE.md, between its markers

It fails when a module includes one that its CMakeLists.txt does not name or that stands below it, when a header of SQLite,
HTTP or GDAL is used outside its module, when a public header holds a bare number without unit suffix that is not in
tools/dimensionless.txt, and when the list in ARCHITECTURE.md is not the real one.
"""
import re
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
BEGIN, END = "<!-- edges: made by tools/check_layers.py --write -->", "<!-- end of edges -->"
# header prefix: the modules that may use it
GUARDED = {
    r"sqlite3(ext)?\.h|SQLiteCpp/": {"book"},
    r"httplib\.h": {"serve"},
    r"gdal\w*\.h|ogr\w*\.h|cpl_\w+\.h|gdalwarper\.h|vrt\w*\.h": {"raster", "exchange"},
}
UNIT = (r"m|um|mm|cm|km|m2|km2|m3|px|ha|deg|rad|degc|degf|h|min|s|ms|days?|pct|kpa|mj|kg|g|au|wh|hours|minutes"
        r"|[a-z0-9]+_per_[a-z0-9_]+|per_[a-z0-9]+")
SUFFIX = re.compile(rf"_({UNIT})_?$")
NUMBER = re.compile(r"\b(?:double|float)\b>?[ &]+(\(?&?\w+\)?(?:\[\w*\])?(?:\s*=\s*[^,;(){}]+|\{[^}]*\})?"
                    r"(?:\s*,\s*\w+(?:\s*=\s*[^,;(){}]+)?(?=\s*[,;]))*)\s*(?=[;,)={])")


def modules():
    """Module name to folder, in the order of the layers."""
    folders = re.findall(r"^add_subdirectory\((\S+)\)", (ROOT / "CMakeLists.txt").read_text(), re.M)
    found = {}
    for folder in folders:
        lists = ROOT / folder / "CMakeLists.txt"
        name = re.search(r"stumpwise_module\((\w+)", lists.read_text()) if lists.exists() else None
        if name:
            found[name.group(1)] = ROOT / folder
    return found


def declared(folder):
    text = re.sub(r"#.*", "", (folder / "CMakeLists.txt").read_text())
    text = text[text.index("stumpwise_module("):]
    words = re.search(r"\bDEPENDS\s+([^)]*?)(?=\b(?:PUBLIC|PRIVATE|SOURCES)\b|\))", text)
    return words.group(1).split() if words else []


def sources(folder):
    return sorted(p for p in folder.rglob("*") if p.suffix in (".h", ".cpp"))


def bare_numbers(header, allowed):
    """(line, name) of fields and parameters that say no unit."""
    text = re.sub(r"//.*", "", header.read_text())
    for match in NUMBER.finditer(text):
        for part in match.group(1).split(","):
            name = re.match(r"\W*(\w+)", part.strip()).group(1)
            if not SUFFIX.search(name) and name not in allowed:
                yield text.count("\n", 0, match.start()) + 1, name


def main():
    order = modules()
    names = list(order)
    allowed, faults, edges = {}, [], {}
    for line in (ROOT / "tools/dimensionless.txt").read_text().splitlines():
        if line and not line.startswith("#"):
            name, _, reason = line.partition("  ")
            allowed[name] = reason
    for name, folder in order.items():
        depends, used = declared(folder), {}
        for path in sources(folder):
            where = path.relative_to(ROOT)
            for number, line in enumerate(path.read_text().splitlines(), 1):
                include = re.match(r'\s*#\s*include\s*[<"]([^>"]+)[>"]', line)
                if not include:
                    continue
                header = include.group(1)
                other = re.match(r"stumpwise/(\w+)/", header)
                if other and other.group(1) != name:
                    used.setdefault(other.group(1), f"{where}:{number}")
                for pattern, homes in GUARDED.items():
                    # A private header of the module may bear the name of what it wraps (raster/gdal.h).
                    if re.match(pattern, header) and name not in homes:
                        faults.append(f"{where}:{number}: {header} may be used in {' and '.join(sorted(homes))} only")
            if "include" in path.relative_to(folder).parts[:1]:
                for number, bare in bare_numbers(path, allowed):
                    faults.append(f"{where}:{number}: '{bare}' says no unit: give it a suffix (_m, _deg, _degc, ...) "
                                  "or, where it has no dimension, a line in tools/dimensionless.txt")
        for other, where in used.items():
            if other not in order:
                faults.append(f"{where}: {name} includes {other}, which is no module")
            elif names.index(other) > names.index(name):
                faults.append(f"{where}: {name} includes {other}, which stands below it")
            elif other not in depends:
                faults.append(f"{where}: {name} includes {other}, which its DEPENDS does not name")
        edges[name] = [other for other in names if other in used]
    block = "\n".join(f"    {name}: {' '.join(used) or '-'}" for name, used in edges.items())
    print(block)
    page = ROOT / "ARCHITECTURE.md"
    text = page.read_text()
    place = re.compile(re.escape(BEGIN) + r".*?" + re.escape(END), re.S)
    wanted = f"{BEGIN}\n\n{block}\n\n{END}"
    if not place.search(text):
        faults.append("ARCHITECTURE.md: the markers of the edge list are missing")
    elif "--write" in sys.argv[1:]:
        page.write_text(place.sub(lambda _: wanted, text))
    elif place.search(text).group(0) != wanted:
        faults.append("ARCHITECTURE.md: the edge list is not the real one; run tools/check_layers.py --write")
    for fault in faults:
        print(fault, file=sys.stderr)
    print(f"layers: {len(order)} modules, {sum(map(len, edges.values()))} edges, {len(faults)} faults")
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main())
