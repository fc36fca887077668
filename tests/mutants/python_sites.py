"""Where a Python file can be given a fault, found in its syntax tree.

Left out is what nobody could notice: docstrings, type annotations (but the checks inside `Annotated`), `__all__`,
asserts (they narrow types), texts of log lines, settings that change no result (`maxsize`, `strict`, ...), and the
size of numbers that only tell zero from what rounding leaves.
"""

import ast
from collections.abc import Iterable, Iterator
from itertools import pairwise

from tests.mutants.fault import Fault
from tests.mutants.unit_swaps import other_endings, other_formats, other_units

QUIET_KEYWORDS = {
    "strict", "maxsize", "typed", "frozen", "slots", "eq", "kw_only", "repr", "daemon", "timeout", "encoding",
    "stacklevel", "check", "transient", "default_factory", "key", "description", "help",
}  # fmt: skip
QUIET_CALLS = {"cast", "TypeVar", "ParamSpec", "lru_cache", "cache", "dataclass", "warn", "getLogger"}
LOGS = {"debug", "info", "warning", "error", "exception", "critical", "log"}
TYPE_NAMES = {"Literal", "Callable", "Mapping", "Sequence", "Iterator", "Iterable", "Annotated", "Optional", "Union",
              "dict", "list", "tuple", "set", "frozenset", "type"}  # fmt: skip
ROUNDING = 1e-9
"""Numbers up to this tell zero from what rounding leaves: half of one, or twice, is as good."""
SYMMETRIC = {"min", "max", "hypot", "isclose", "allclose", "gcd", "union", "intersection"}
BINARY = {
    ast.Add: "-", ast.Sub: "+", ast.Mult: "/", ast.Div: "*", ast.FloorDiv: "*", ast.Mod: "*", ast.Pow: "*",
}  # fmt: skip
SIGNS = {ast.Add: "+", ast.Sub: "-", ast.Mult: "*", ast.Div: "/", ast.FloorDiv: "//", ast.Mod: "%", ast.Pow: "**"}
COMPARE = {
    ast.Lt: ("<", ("<=", ">=")), ast.LtE: ("<=", ("<", ">")), ast.Gt: (">", (">=", "<=")), ast.GtE: (">=", (">", "<")),
    ast.Eq: ("==", ("!=",)), ast.NotEq: ("!=", ("==",)), ast.In: ("in", ("not in",)), ast.NotIn: ("not in", ("in",)),
    ast.Is: ("is", ("is not",)), ast.IsNot: ("is not", ("is",)),
}  # fmt: skip


class _Finder:
    def __init__(self, path: str, text: str) -> None:
        self.path, self.text = path, text
        self.found: list[Fault] = []
        self.scope: list[str] = []
        self.in_function = False
        self.names: tuple[str, ...] = ()
        self.lines: tuple[int, int] = (1, 1)
        starts, at = [], 0
        for line in text.splitlines(keepends=True):
            starts.append(at)
            at += len(line)
        self._starts, self._lines = starts, text.splitlines(keepends=True)

    def offset(self, line: int, column: int) -> int:
        """Place in the text of a line and a column in bytes, as syntax trees count."""
        return self._starts[line - 1] + len(self._lines[line - 1].encode()[:column].decode())

    def span(self, node: ast.AST) -> tuple[int, int]:
        return (
            self.offset(node.lineno, node.col_offset),  # type: ignore[attr-defined]
            self.offset(node.end_lineno, node.end_col_offset),  # type: ignore[attr-defined]
        )

    def source(self, node: ast.AST) -> str:
        start, end = self.span(node)
        return self.text[start:end]

    def alone(self, node: ast.expr) -> str:
        """An expression that may stand anywhere: in brackets, but for names, numbers and calls."""
        is_whole = isinstance(node, ast.Name | ast.Constant | ast.Call | ast.Attribute | ast.Subscript)
        return self.source(node) if is_whole else f"({self.source(node)})"

    def add(self, kind: str, span: tuple[int, int], *afters: str) -> None:
        before = self.text[slice(*span)]
        for after in afters:
            if after != before:
                self.found.append(
                    Fault(
                        path=self.path,
                        kind=kind,
                        start=span[0],
                        end=span[1],
                        before=before,
                        after=after,
                        line=self.text.count("\n", 0, span[0]) + 1,
                        first=self.lines[0],
                        last=self.lines[1],
                        scope=".".join(self.scope),
                        names=() if self.in_function else self.names,
                    )
                )

    # statements

    def body(self, statements: Iterable[ast.stmt]) -> None:
        for each in statements:
            self.statement(each)

    def statement(self, node: ast.stmt) -> None:
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
            self.function(node)
        elif isinstance(node, ast.ClassDef):
            self.class_of(node)
        elif not _is_quiet(node):
            if not self.in_function:
                self.names = tuple(dict.fromkeys((*_bound(node), *self.scope)))
            self.lines = node.lineno, _header_end(node)
            self.parts(node)

    def parts(self, node: ast.stmt) -> None:
        if isinstance(node, ast.AnnAssign):
            self.annotation(node.annotation)
        if isinstance(node, ast.Expr) and isinstance(node.value, ast.Call) and self.in_function:
            self.add("dropped term", self.span(node), "pass")
        for name, value in ast.iter_fields(node):
            if isinstance(value, ast.expr) and name not in {"annotation", "target"}:
                self.expression(value)
            elif isinstance(value, list) and name != "targets":
                for each in value:
                    self.part(each)

    def part(self, node: ast.AST) -> None:
        """One of a list that a statement has: of statements, of `with` items, of handlers, of cases."""
        if isinstance(node, ast.stmt):
            self.statement(node)
        elif isinstance(node, ast.withitem):
            self.expression(node.context_expr)
        elif isinstance(node, ast.ExceptHandler | ast.match_case):
            if isinstance(node, ast.match_case) and node.guard:
                self.expression(node.guard)
            self.body(node.body)

    def function(self, node: ast.FunctionDef | ast.AsyncFunctionDef) -> None:
        before = self.in_function, self.lines, self.names
        self.scope.append(node.name)
        # defaults and decorators run when the file is loaded, but whoever runs the body needs them
        self.lines = node.body[0].lineno, node.body[-1].end_lineno or node.lineno
        self.in_function = True
        for each in (*node.args.defaults, *(d for d in node.args.kw_defaults if d)):
            self.expression(each)
        for arg in (*node.args.posonlyargs, *node.args.args, *node.args.kwonlyargs):
            self.annotation(arg.annotation)
        for each in node.decorator_list:
            if isinstance(each, ast.Call):
                self.expression(each)
        self.body(node.body)
        self.scope.pop()
        self.in_function, self.lines, self.names = before

    def class_of(self, node: ast.ClassDef) -> None:
        self.scope.append(node.name)
        self.body(node.body)
        self.scope.pop()

    def annotation(self, node: ast.expr | None) -> None:
        """Only the calls inside: `Annotated[float, Field(gt=0.0)]` checks what a person writes."""
        for each in ast.walk(node) if node is not None else ():
            if isinstance(each, ast.Call):
                self.expression(each)

    # expressions

    def expression(self, node: ast.expr) -> None:
        if isinstance(node, ast.Call) and _called(node) in QUIET_CALLS:
            return
        if isinstance(node, ast.Call) and _is_log(node):
            return
        if isinstance(node, ast.Subscript) and isinstance(node.value, ast.Name) and node.value.id in TYPE_NAMES:
            self.annotation(node)
            return
        handler = {
            ast.Constant: self.constant,
            ast.BinOp: self.binary,
            ast.BoolOp: self.boolean,
            ast.UnaryOp: self.unary,
            ast.Compare: self.comparison,
            ast.Call: self.call,
            ast.JoinedStr: self.formatted,
            ast.Dict: self.dictionary,
            ast.List: self.sequence,
            ast.Set: self.sequence,
            ast.IfExp: self.choice,
        }.get(type(node))
        if handler:
            handler(node)  # type: ignore[arg-type]
        for each in _inner(node):
            self.expression(each)

    def constant(self, node: ast.Constant) -> None:
        value = node.value
        if isinstance(value, bool):
            self.add("constant", self.span(node), str(not value))
        elif isinstance(value, int):
            self.add("constant", self.span(node), str(value + 1), *([str(value - 1)] if value > 0 else []))
        elif isinstance(value, float) and not 0.0 < abs(value) <= ROUNDING:
            near = [repr(value * 2.0), repr(value * 0.5), repr(value * 1.25)] if value else ["1.0"]
            self.add("constant", self.span(node), *near)
        elif isinstance(value, str):
            start, end = self.span(node)
            quoted = self.text[start:end]
            if len(quoted) == len(value) + 2:
                others = other_units(value) or other_endings(value)
                self.add("wrong unit", (start, end), *(f"{quoted[0]}{o}{quoted[0]}" for o in others))

    def binary(self, node: ast.BinOp) -> None:
        if type(node.op) not in BINARY or _is_text(node.left) or _is_text(node.right):
            return
        middle = (self.span(node.left)[1], self.span(node.right)[0])
        between = self.text[slice(*middle)]
        sign = SIGNS[type(node.op)]
        if between.count(sign) == 1:
            self.add("operator", middle, between.replace(sign, BINARY[type(node.op)]))
        self.add("dropped term", self.span(node), self.alone(node.left), self.alone(node.right))

    def boolean(self, node: ast.BoolOp) -> None:
        word, other = ("and", "or") if isinstance(node.op, ast.And) else ("or", "and")
        for left, right in pairwise(node.values):
            middle = (self.span(left)[1], self.span(right)[0])
            between = self.text[slice(*middle)]
            if between.split().count(word) == 1 and len(node.values) == 2:
                self.add("operator", middle, between.replace(word, other))
        for dropped in range(len(node.values)):
            kept = [self.alone(v) for i, v in enumerate(node.values) if i != dropped]
            self.add("dropped term", self.span(node), f"({f' {word} '.join(kept)})")

    def unary(self, node: ast.UnaryOp) -> None:
        if isinstance(node.op, ast.Not | ast.USub) and not isinstance(node.operand, ast.Constant):
            self.add("operator", self.span(node), f"({self.source(node.operand)})")

    def comparison(self, node: ast.Compare) -> None:
        left = node.left
        for op, right in zip(node.ops, node.comparators, strict=True):
            sign, others = COMPARE[type(op)]
            middle = (self.span(left)[1], self.span(right)[0])
            between = self.text[slice(*middle)]
            if between.strip(" ()\n") == sign:
                is_never_met = any(_is_tiny(each) for each in (left, right))
                kept = [other for other in others if not (is_never_met and other in (f"{sign}=", sign.rstrip("=")))]
                self.add("comparison", middle, *(between.replace(sign, other) for other in kept))
            left = right

    def call(self, node: ast.Call) -> None:
        plain = [a for a in node.args if not isinstance(a, ast.Starred)]
        if _called(node) not in SYMMETRIC | {"isinstance", "issubclass"} and len(plain) == len(node.args):
            self.swap(plain)
        if not _called(node)[:1].isupper():
            self.swap([k.value for k in node.keywords if k.arg and k.arg not in QUIET_KEYWORDS])
        else:
            self.swap([k.value for k in node.keywords if k.arg and isinstance(k.value, ast.Attribute | ast.Call)])
        for keyword in node.keywords:
            if keyword.arg and keyword.arg not in QUIET_KEYWORDS and (node.args or len(node.keywords) > 1):
                start, end = self.span(keyword)
                after = self.text.find(",", end)
                if after >= 0 and not self.text[end:after].strip():
                    self.add("dropped term", (start, after + 1), "")

    def swap(self, values: list[ast.expr]) -> None:
        for left, right in pairwise(values):
            a, b = self.source(left), self.source(right)
            if a != b:
                (start, left_end), (right_start, end) = self.span(left), self.span(right)
                self.add("swapped arguments", (start, end), b + self.text[left_end:right_start] + a)

    def formatted(self, node: ast.JoinedStr) -> None:
        # places inside a formatted text have no columns of their own before 3.12: find the formats in its source
        start, end = self.span(node)
        text = self.text[start:end]
        for each in node.values:
            if isinstance(each, ast.FormattedValue) and isinstance(each.format_spec, ast.JoinedStr):
                parts = each.format_spec.values
                spec = parts[0].value if len(parts) == 1 and isinstance(parts[0], ast.Constant) else ""
                if spec and text.count(f":{spec}}}") == 1:
                    at = start + text.index(f":{spec}}}") + 1
                    self.add("wrong unit", (at, at + len(spec)), *other_formats(spec))

    def dictionary(self, node: ast.Dict) -> None:
        for key, value in zip(node.keys, node.values, strict=True):
            if key is not None and len(node.keys) > 1:
                self.drop(self.span(key)[0], self.span(value)[1])

    def sequence(self, node: ast.List | ast.Set) -> None:
        for each in node.elts if len(node.elts) > 1 else ():
            self.drop(*self.span(each))

    def drop(self, start: int, end: int) -> None:
        after = self.text.find(",", end)
        if after >= 0 and not self.text[end:after].strip():
            self.add("dropped term", (start, after + 1), "")

    def choice(self, node: ast.IfExp) -> None:
        start, end = self.span(node)
        body, other = self.source(node.body), self.source(node.orelse)
        self.add("dropped term", (start, end), f"({body})", f"({other})")


def _inner(node: ast.expr) -> Iterator[ast.expr]:
    """The parts of an expression that hold further places."""
    if isinstance(node, ast.JoinedStr):
        return
    if isinstance(node, ast.Lambda):
        yield node.body
        return
    for name, value in ast.iter_fields(node):
        if name == "keywords":
            yield from (k.value for k in value if k.arg not in QUIET_KEYWORDS)
        elif name == "generators":
            for each in value:
                yield each.iter
                yield from each.ifs
        elif isinstance(value, ast.expr):
            yield value
        elif isinstance(value, list):
            yield from (v for v in value if isinstance(v, ast.expr))


def _called(node: ast.Call) -> str:
    return node.func.attr if isinstance(node.func, ast.Attribute) else getattr(node.func, "id", "")


def _is_tiny(node: ast.expr) -> bool:
    """Whether a number, alone, beside a limit or as its share, tells zero from what rounding leaves: none is equal."""
    if isinstance(node, ast.BinOp) and isinstance(node.op, ast.Add | ast.Sub | ast.Mult):
        return _is_tiny(node.right)
    value = node.value if isinstance(node, ast.Constant) else 1.0
    return isinstance(value, float) and (0.0 < value <= 1e-6 or value >= 1e12)


def _is_log(node: ast.Call) -> bool:
    owner = node.func.value if isinstance(node.func, ast.Attribute) else None
    return _called(node) in LOGS and isinstance(owner, ast.Name) and "log" in owner.id.lower()


def _is_text(node: ast.expr) -> bool:
    if isinstance(node, ast.BinOp):
        return _is_text(node.left) or _is_text(node.right)
    return isinstance(node, ast.JoinedStr) or (isinstance(node, ast.Constant) and isinstance(node.value, str))


def _is_quiet(node: ast.stmt) -> bool:
    if isinstance(node, ast.Import | ast.ImportFrom | ast.Assert | ast.Pass | ast.Global | ast.Nonlocal | ast.Delete):
        return True
    if isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant):
        return True
    if isinstance(node, ast.If) and any(
        isinstance(n, ast.Name) and n.id in {"TYPE_CHECKING", "__name__"} for n in ast.walk(node.test)
    ):
        return True
    return any(name in {"__all__", "__slots__", "model_config"} for name in _bound(node))


def _bound(node: ast.stmt) -> list[str]:
    """Names that a statement gives values to; of others, the names it uses."""
    if isinstance(node, ast.Assign | ast.AnnAssign | ast.AugAssign):
        targets = node.targets if isinstance(node, ast.Assign) else [node.target]
        return [n.id for t in targets for n in ast.walk(t) if isinstance(n, ast.Name)]
    return []


def _header_end(node: ast.stmt) -> int:
    """Last line of a statement; of one with a body, last line of what stands above the body."""
    body = getattr(node, "body", None)
    if isinstance(body, list) and body:
        return max(node.lineno, body[0].lineno - 1)
    return node.end_lineno or node.lineno


def python_faults(path: str, text: str) -> list[Fault]:
    """Every fault that can be planted in one Python file, in the order of the text."""
    finder = _Finder(path, text)
    finder.body(ast.parse(text).body)
    return finder.found
