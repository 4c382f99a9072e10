"""Every number with a dimension carries its unit in its name: in acoustics, and in the fields of the records."""
import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent
FILES = sorted(path.relative_to(ROOT) for path in [*(ROOT / "acoustics").glob("*.py"), ROOT / "app/records.py"])
assert len(FILES) > 1, "no source files found: the check would pass on nothing"

UNITS = (
    "mm", "mm2", "inch", "hz", "cents", "c", "k", "pa", "pa_s", "m_per_s", "kg_per_m3", "g_per_mol", "j_per_mol_k",
    "cents_per_mm", "cents_per_db", "mm_per_db", "deg", "rad", "s", "ms", "db", "dbfs", "power",
    "percent", "per_percent", "litre",
)
# Numbers without a dimension; each says in its docstring or beside it what it is.
DIMENSIONLESS = {
    "coherence", "contrast", "evenness", "flutter", "gamma", "line_contrast", "peak", "prandtl", "quality", "ratio",
    "risk", "wall_loss",
}
# Shares, ratios, natural logarithms of ratios and their spreads, weights, costs, degrees of freedom.
DIMENSIONLESS_ENDINGS = (
    "_cost", "_dof", "_fraction", "_humidity", "_log", "_ratio", "_risk", "_sd", "_share", "_weight",
)
# Told in any unit: the caller says which.
IN_ANY_UNIT = {
    "require_between(): value", "require_between(): low", "require_between(): high", "tone_of(): value", "sd(): slopes",
    "StepTaken: value",
}


def numbers_in(path: Path) -> Iterator[tuple[str, str]]:
    """Where it stands, and the name, for every parameter or field that is a float, or may hold some."""
    for node in ast.walk(ast.parse((ROOT / path).read_text(encoding="utf-8"))):
        if isinstance(node, ast.FunctionDef) and not node.name.startswith("_"):
            arguments = [*node.args.posonlyargs, *node.args.args, *node.args.kwonlyargs]
            for argument in arguments:
                if _is_number(argument.annotation):
                    yield f"{node.name}()", argument.arg
        elif isinstance(node, ast.ClassDef):
            fields = [field for field in node.body if isinstance(field, ast.AnnAssign)]
            yield from ((node.name, ast.unparse(field.target)) for field in fields if _is_number(field.annotation))


def _is_number(annotation: ast.expr | None) -> bool:
    return annotation is not None and any(
        isinstance(node, ast.Name) and node.id == "float" for node in ast.walk(annotation)
    )


def has_unit(name: str) -> bool:
    return (
        name in DIMENSIONLESS
        or name.endswith(DIMENSIONLESS_ENDINGS)
        or any(name == unit or name.endswith(f"_{unit}") for unit in UNITS)
    )


@pytest.mark.parametrize("path", FILES, ids=str)
def test_number_says_its_unit_in_its_name(path):
    nameless = {f"{place}: {name}" for place, name in numbers_in(path) if not has_unit(name)} - IN_ANY_UNIT
    assert not nameless, f"{path}: no unit in {nameless}"


def test_numbers_are_found_at_all():
    found = dict(numbers_in(Path("acoustics/air.py")))
    assert found["Air"] == "co2_mole_fraction"
    assert found["vapour_mole_fraction()"] == "pressure_pa"
