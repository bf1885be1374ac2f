"""Every code the package can raise or find, read off its own text: what the catalogue must word."""

from __future__ import annotations

import ast
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from importlib import import_module
from pathlib import Path

import kilnlog
from kilnlog.records.errors import KilnlogError

PACKAGE = Path(kilnlog.__file__).parent


def trees(*folders: str) -> Iterator[tuple[Path, ast.Module]]:
    for folder in folders or (".",):
        for path in sorted((PACKAGE / folder).rglob("*.py")):
            yield path, ast.parse(path.read_text(encoding="utf-8"))


def error_classes() -> dict[str, type[KilnlogError]]:
    """By class name: every ``KilnlogError`` written anywhere in the package."""
    found: dict[str, type[KilnlogError]] = {}
    for path, tree in trees():
        named = [
            node.name
            for node in ast.walk(tree)
            if isinstance(node, ast.ClassDef)
            and any(isinstance(base, ast.Name) and base.id == "KilnlogError" for base in node.bases)
        ]
        if named:
            parts = path.resolve().relative_to(PACKAGE.parent).with_suffix("").parts
            module = import_module(".".join(parts))
            found |= {name: getattr(module, name) for name in named}
    return found


@dataclass(frozen=True)
class Raised:
    """One place where an error is made."""

    place: str
    code: str
    given: frozenset[str]  # the names of its values
    why: str | None  # where it is plain text


def raised() -> Iterator[Raised]:
    classes = error_classes()
    for path, tree in trees():
        for node in ast.walk(tree):
            if not isinstance(node, ast.Call) or not isinstance(node.func, ast.Name | ast.Attribute):
                continue
            name = node.func.id if isinstance(node.func, ast.Name) else node.func.attr
            hands_on = any(keyword.arg is None for keyword in node.keywords)  # another's values, seen there
            if name not in classes or name == "ImportRefused" or hands_on:
                continue
            given = {keyword.arg: keyword.value for keyword in node.keywords if keyword.arg}
            why = given.get("why")
            plain = why.value if isinstance(why, ast.Constant) and isinstance(why.value, str) else None
            place = f"{path.name}:{node.lineno}"
            yield Raised(place, classes[name].code, frozenset(given), plain)


#: Functions that make a finding -> where its code stands among their arguments.
_MAKERS: Mapping[str, int] = {"Finding": 0, "on_board": 1, "_impossible": 0, "_asked": 0}


def found_codes() -> dict[str, set[str]]:
    """Every code written where a finding or a doubt is made -> the names of its values that are plain to see.

    The doubts about a weight are made in a loop; their codes are yielded one by one, and their values are
    those of the one dictionary that all of them share.
    """
    found: dict[str, set[str]] = {}
    for path, tree in trees("drying", "logbook"):
        functions = {node.name: node for node in ast.walk(tree) if isinstance(node, ast.FunctionDef)}
        for node in ast.walk(tree):
            if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in _MAKERS:
                told = {keyword.arg: keyword.value for keyword in node.keywords if keyword.arg}
                code = told.pop("code", None) or node.args[_MAKERS[node.func.id]]
                if isinstance(code, ast.Constant):
                    names = {"at"} if node.func.id.startswith("_") else set()
                    names |= {"board"} if node.func.id == "on_board" else set()
                    names |= set(told) if node.func.id.startswith("_") else set()
                    local = _local_dicts(tree, node)
                    for value in (*node.args, *told.values()):
                        named = local.get(value.id, value) if isinstance(value, ast.Name) else value
                        names |= _names_in(named, functions)
                    found[code.value] = names
        if path.name == "plausibility.py":
            shared = _names_in(ast.Call(ast.Name("_values"), [], []), functions)
            for code in _yielded_texts(functions["_misfits"]):
                found[code] = shared
    return found


def _names_in(value: ast.expr, functions: Mapping[str, ast.FunctionDef]) -> set[str]:
    """The keys of a dictionary written out, or of the first one in the function that makes it."""
    if isinstance(value, ast.Dict):
        return {key.value for key in value.keys if isinstance(key, ast.Constant)}
    if isinstance(value, ast.Call) and isinstance(value.func, ast.Name) and value.func.id in functions:
        made = [node for node in ast.walk(functions[value.func.id]) if isinstance(node, ast.Dict)]
        return _names_in(made[0], functions) if made else set()
    return set()


def _local_dicts(tree: ast.Module, call: ast.Call) -> dict[str, ast.expr]:
    """Dictionaries given a name before they are handed over, by that name."""
    return {
        node.target.id: node.value
        for node in ast.walk(tree)
        if isinstance(node, ast.AnnAssign)
        and isinstance(node.target, ast.Name)
        and isinstance(node.value, ast.Dict)
        and node.lineno < call.lineno
    }


def _yielded_texts(function: ast.FunctionDef) -> Iterator[str]:
    for node in ast.walk(function):
        if isinstance(node, ast.Yield):
            for text in ast.walk(node):
                if isinstance(text, ast.Constant) and isinstance(text.value, str):
                    yield text.value
