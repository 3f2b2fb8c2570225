"""What nobody means to write: numbers, texts and encodings, and how to plant them in a sound file."""

from __future__ import annotations

import re
from random import Random

NUMBERS = (
    "0", "-0", "-1", "1", "0.5", "1e-300", "1e-9", "1e9", "1e15", "1e308", "-1e308", "1e309", "nan", "-nan",
    "inf", "-inf", "2147483648", "9223372036854775807", "18446744073709551616", "9" * 400, "0." + "0" * 400 + "1",
    "0x1F", "1_000", "٣", "½", "1/0", "0/0", "1e", "--1", "1.2.3", "1,5", "1,000", "1e999999999", "+1", ".5", "5.",
    "true", "1979-05-27", "07:32:00", "1979-05-27T07:32:00Z",
)  # fmt: skip

TEXTS = (
    "", " ", "\t", "\n", "\r\n", "a" * 5000, "\0", "\x01\x1b[31m", "\u202e", "\u200f\u2066", "\ufeff", "\u2028",
    "\ud7ff\ue000", "\U0010ffff", "e\u0301", "\u0130i\u0307", "ß", "../../etc/passwd", "/dev/zero", "/dev/stdin", ".",
    "/", "CON", "a/b", "a\\b", "C:\\x", "http://localhost:9/x.svg", "file:///etc/passwd", "%s%n{0}{x}", "'\"`",
    "<b>&amp;</b>", "[[", "]]", "{}", "nan", "None", "true", "*", "?", "[a-", "(" * 200, "1 1/2 in", "1' 2\"", "12 mm",
    "-3 mm", "0 mm", "1e400 mm", "9" * 400 + " mm", "1/0 in", "1 l", "0 l", "8 m2/L", "0 m2/L", "#fff", "#12c85a", "#",
    "365/12", "365/0", "0*D65", "D65 + D65", "wall.svg", "paints.toml", "brief.toml", "card.csv", "scheme.json",
)  # fmt: skip

_TOKEN = re.compile(
    r"\"(?:[^\"\\\n]|\\.)*\"|'[^'\n]*'|[+-]?\d[\d.]*(?:[eE][+-]?\d+)?|[A-Za-z_][\w-]*|[^\w\s]"
)
_LONGEST = 20_000


def mutate_text(data: bytes, random: Random, words: tuple[str, ...]) -> bytes:
    """Return a text file with one to six things changed, and rarely its encoding."""
    text = data.decode("utf-8", errors="replace")
    for _ in range(random.choice((1, 1, 1, 1, 2, 4))):
        text = random.choice(_CHANGES)(text, random, words)[:_LONGEST]
    if random.random() < 0.03:
        return encode_oddly(text, random)
    return text.encode("utf-8", errors="surrogatepass")


def encode_oddly(text: str, random: Random) -> bytes:
    """Return a text as some program might save it: BOM, UTF-16, CRLF, Latin-1, a cut, a lone surrogate."""
    plain = text.encode("utf-8", errors="replace")
    way = random.randrange(7)
    if way == 0:
        return b"\xef\xbb\xbf" + plain
    if way == 1:
        return text.encode("utf-16", errors="replace")
    if way == 2:
        return text.encode("utf-32", errors="replace")
    if way == 3:
        return plain.replace(b"\n", random.choice((b"\r\n", b"\r")))
    if way == 4:
        return text.encode("latin-1", errors="replace")
    at = random.randrange(len(plain) + 1)
    if way == 5:
        return plain[:at]
    return plain[:at] + random.choice((b"\0", b"\xed\xa0\x80", b"\xff", b"\xc0\xaf", b"\x1a")) + plain[at:]


def _number(text: str, random: Random, words: tuple[str, ...]) -> str:
    return _replace_one(text, r"[+-]?\d[\d.]*(?:[eE][+-]?\d+)?", random.choice(NUMBERS), random)


def _nudge(text: str, random: Random, words: tuple[str, ...]) -> str:
    """Change a number a little: what still makes a sound file reaches farther into a reader."""

    def nudged(found: re.Match[str]) -> str:
        try:
            value = float(found.group())
        except ValueError:
            return found.group()
        value = random.choice(
            (value + 1, value - 1, value * 2, value / 2, -value, value + random.random(), 0.0)
        )
        return f"{value:g}"

    found = list(re.finditer(r"\d+(?:\.\d+)?", text))
    if not found:
        return text
    one = random.choice(found)
    return text[: one.start()] + nudged(one) + text[one.end() :]


def _quoted(text: str, random: Random, words: tuple[str, ...]) -> str:
    mark = random.choice(('"', "'")) if random.random() < 0.1 else '"'
    found = list(re.finditer(f"{mark}[^{mark}\n]*{mark}", text))
    if not found:
        return text
    one = random.choice(found)
    value = random.choice((random.choice(TEXTS), random.choice(NUMBERS), random.choice(words or ("",))))
    if random.random() < 0.2:
        value = one.group()[1:-1] + value
    return f"{text[: one.start() + 1]}{value}{text[one.end() - 1 :]}"


def _unquoted(text: str, random: Random, words: tuple[str, ...]) -> str:
    """Put a value of another kind after an equals sign or a colon."""
    found = list(re.finditer(r"(?<=[=:])\s*[^\n,}<>]+", text))
    if not found:
        return text
    one = random.choice(found)
    values = (
        *NUMBERS,
        '""',
        "[]",
        "{}",
        "[[]]",
        "[1, 2]",
        '["a", "a"]',
        "{ a = 1 }",
        '{"a": []}',
        "null",
        '"a"',
    )
    return f"{text[: one.start()]} {random.choice(values)}{text[one.end() :]}"


def _word(text: str, random: Random, words: tuple[str, ...]) -> str:
    if not words:
        return text
    return _replace_one(text, r"[A-Za-z_][\w-]*", random.choice(words), random)


def _insert(text: str, random: Random, words: tuple[str, ...]) -> str:
    at = random.randrange(len(text) + 1)
    piece = random.choice((random.choice(TEXTS), random.choice(NUMBERS), random.choice(words or ("",))))
    return f"{text[:at]}{piece}{text[at:]}"


def _token_away(text: str, random: Random, words: tuple[str, ...]) -> str:
    return _replace_one(text, _TOKEN.pattern, "", random)


def _line(text: str, random: Random, words: tuple[str, ...]) -> str:
    """Drop, repeat, move or join lines."""
    lines = text.split("\n")
    first, second = sorted((random.randrange(len(lines)), random.randrange(len(lines))))
    second = min(second, first + 12)
    way = random.randrange(4)
    if way == 0:
        del lines[first : second + 1]
    elif way == 1:
        lines[first:first] = lines[first : second + 1] * random.choice((1, 1, 2, 30))
    elif way == 2:
        lines[first], lines[second] = lines[second], lines[first]
    else:
        lines[first : second + 1] = [" ".join(lines[first : second + 1])]
    return "\n".join(lines)


def _repeat_piece(text: str, random: Random, words: tuple[str, ...]) -> str:
    """Repeat a piece many times: brackets, elements and tables nest or pile up."""
    found = list(_TOKEN.finditer(text))
    if not found:
        return text
    one = random.choice(found)
    times = random.choice((2, 5, 50, 500))
    return f"{text[: one.start()]}{one.group() * times}{text[one.end() :]}"


def _replace_one(text: str, pattern: str, by: str, random: Random) -> str:
    found = list(re.finditer(pattern, text))
    if not found:
        return text
    one = random.choice(found)
    return f"{text[: one.start()]}{by}{text[one.end() :]}"


_CHANGES = (
    _number, _number, _nudge, _nudge, _quoted, _quoted, _unquoted, _unquoted, _word, _insert, _token_away, _line, _line,
    _repeat_piece,
)  # fmt: skip
