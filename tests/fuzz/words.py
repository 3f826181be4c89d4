"""What damage is made of: signs, numbers, names and markup that something might stumble over."""


def _cut(text: str) -> tuple[str, ...]:
    return tuple(text.split())


HIDDEN = ("\0", "\x1b", "\x07", "\x85", "\u2028", "\u202e", "\u2066", "\u200f", "\u061c", "\u200d", "\ufeff")
"""Signs that no editor shows, or that turn the direction of writing."""
_LONG = ("9" * 40, "9" * 5000, "0." + "0" * 200 + "1")
NUMBERS = (
    *_cut("0 -1 1 64 1e9 1e999999999 1/3 1/0 0x10 010 .5 5. -0 1_000 1,5 nan inf ٣ ① \N{MINUS SIGN}5"),
    *_LONG,
)
_NAMES = "true null ~ [] {} '' \"\" unit family fitted fact part what by all each opens CON aux nul.txt"
_PATHS = ".. ../../etc/passwd /etc/passwd a/b a\\b C:\\a --help -c $(id) `id` %s%n {{7*7}} ${a}"
_CELLS = "=1+1 @SUM(A1) -2+3 +cmd|'/C calc'!A0"
_PAGES = "<script>alert(1)</script> <svg/onload=a()> javascript:alert(1) ]]> --> </title> <!-- '\"><b>"
_SPOTS = "< > << <part> <part.part> <part.name.name> <unit> <fact> \\< <<part>> <tool"
_LETTERS = ("é", "שלום", "日本語", "🔧", "a\u0301" * 40, "x" * 65, "x" * 300, "a b", "a\nb", "a\tb", "a\n")
WORDS = (
    *_cut(f"{_NAMES} {_PATHS} {_CELLS} {_PAGES} {_SPOTS}"),
    "<img src=x onerror=alert(1)>",
    *_LETTERS,
)
_BLOCKS = (
    "```html\n<script>\n```",
    "|a|b|\n|-|-|\n",
    "[a]: http://x",
    "<![CDATA[",
    "<?php ?>",
    "    ",
    "\n",
    "\n\n",
)
MARKUP = (
    *_cut("* ** _ ` ``` ~~~ === --- [a](javascript:x) ![a](http://x/y) <http://x> <b> </p>"),
    *_cut("<!-- &lt; &#60; \\ \" '"),
    *("> ", "- ", "1. ", "999999999. ", "# ", *_BLOCKS),
)
_OPENED = ("[" * 60, "{a: " * 60, "- " * 60, "a: &b [*b, *b]\n", '"\\u202e"', '"\\x00"', '"\\ud800"')
_TAGS = ("&a ", "*a", "!!python/object/apply:os.system ", "!x ", "<<: ", "%YAML 1.1\n", "---\n", "...\n")
SYNTAX = (
    *("? ", "- ", ": ", ", ", "# ", " #", "|\n", ">-\n", "\t", "\r\n", "\r", "\n", "  "),
    *_cut("{ } [ ] ' \" \\ @ ` %"),
    *_TAGS,
    *_OPENED,
)
TOKENS = (*NUMBERS, *WORDS, *SYNTAX, *HIDDEN, "x" * 70_000)
JSON = (*_cut("null 1e999 -1 1.0 true NaN"), '"\\ud800"', "[" * 5000, '{"a":' * 5000, '"count": ')

FORMULA = (
    *_cut("x y x-1 part.tighten min( max( sqrt( exp( log( ( ) ** * / + - , 2 0.5 64 0.000000001"),
    *("1 bar", "25 %", "20 °C", "3 K", " ", "1/4 turn", "9" * 39, "** 0.3"),
)
QUANTITY = (
    *(*NUMBERS, " ", " to ", " or less", " or more", " by ", "1 1/2", "\n"),
    *_cut("- + / 4.0 22 to bar psi N·m Nm °C K % mm min months turn bar(a) ppm µm º"),
)
TEMPLATE = (
    *_cut("< > << \\< <part> <housing> <housing.tighten> <a.b.c> <.> <part.>"),
    *_cut("<strap_wrench> <unit> <by> <safe>"),
    *("< part>", "&lt;", "\\", "<" * 300, *HIDDEN, *WORDS),
)
_RUNS = "<script>a()</script> @import <!ENTITY &a; <![CDATA[ ]]> <a> <foreignObject> <animate/> <set/> SCRIPT"
_REFERS = 'href style use #a svg = " < > & / xmlns: \\75rl(x) url(http://x) image-set("http://x"'
_ATTRIBUTES = (' onload="a()"', ' href="http://x/"', ' href="javascript:a()"', ' xml:base="http://x"')
DRAWN = (
    *_cut(f"{_RUNS} {_REFERS}"),
    *(
        *_ATTRIBUTES,
        '<use href="#a"/>',
        '<!DOCTYPE svg [<!ENTITY a "b">]>',
        "<?xml-stylesheet href='x'?>",
        "<g>" * 70,
    ),
    *(
        "<image href='data:image/svg+xml,x'/>",
        "<image href='data:image/png;base64,AA'/>",
        'style="a:url( x )"',
    ),
    *('<?xml version="1.0" encoding="utf-16"?>', '<?xml version="1.0" encoding="cp037"?>'),
)
"""Pieces of drawings, most of which must not come through."""
HEADS = (
    *(
        b"\x89PNG\r\n\x1a\n",
        b"\x89PNG\r\n\x1a\n\x00\x00\x00\rIHDR",
        b"GIF89a",
        b"GIF87a\xff\xff\xff\xff",
        b"RIFF",
    ),
    *(
        b"RIFF\x10\x00\x00\x00WEBPVP8 ",
        b"\xff\xd8\xff\xe0\x00\x10JFIF",
        b"\xff\xd8\xff\xda",
        b"<svg",
        b"\xff\xfe<\0s\0",
    ),
)
"""How pictures begin."""
BYTES = (
    *(
        b"\0",
        b"\xef\xbb\xbf",
        b"\xff\xfe",
        b"\xed\xa0\x80",
        b"\xc3",
        b"\xe9",
        b"\r",
        b"\t",
        b"\xf4\x90\x80\x80",
    ),
)
