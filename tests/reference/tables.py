"""What the scripts beside this file share: numbers as the tables print them, and writing or checking the tables.

A table is (sources, columns as (name, unit), a function that gives its rows). Every file opens with comment lines (`# source:` and
`# columns:` with units), then a line of column names, then the rows.
"""

import math


def r9(x):
    """A number as the tables print it, so that what is computed belongs to the inputs that are written."""
    return float("%.9g" % x)


def cell(x):
    return x if isinstance(x, str) else "%.9g" % x


def text(name, table):
    sources, columns, rows = table
    lines = [f"# source: {s}" for s in sources]
    lines.append("# columns: " + ", ".join(f"{c} [{u}]" for c, u in columns))
    lines.append(",".join(c for c, _ in columns))
    for row in rows():
        if len(row) != len(columns):
            raise SystemExit(f"{name}: {len(row)} cells for {len(columns)} columns")
        if any(not isinstance(x, str) and not math.isfinite(x) for x in row):
            raise SystemExit(f"{name}: a value is not finite: {row}")
        lines.append(",".join(cell(x) for x in row))
    return "\n".join(lines) + "\n"


def main(tables, folder, arguments):
    """Writes the tables that are named, or all; with `--check` it writes nothing and fails if one would change."""
    check = "--check" in arguments
    wanted = [a for a in arguments if not a.startswith("-")] or list(tables)
    stale = []
    for name in wanted:
        body = text(name, tables[name])
        path = folder / name
        same = path.exists() and path.read_bytes() == body.encode("utf-8")
        rows = sum(1 for line in body.splitlines() if not line.startswith("#")) - 1
        print(f"{name}: {rows} rows, {len(body)} bytes{'' if same else ' (changed)'}")
        if not same:
            stale.append(name)
            if not check:
                path.write_bytes(body.encode("utf-8"))
    if check and stale:
        raise SystemExit("these tables would change: " + ", ".join(stale))
