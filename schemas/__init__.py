"""The JSON Schemas of a library's files, one `<kind>.schema.json` each; installed as `proctool.schemas`.

Kinds: library, unit, base, block, procedure. Read them with `importlib.resources.files("proctool.schemas")`;
there is no code here.
"""
