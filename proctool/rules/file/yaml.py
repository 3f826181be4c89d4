"""Every file is text in UTF-8 that can be read as YAML, and no key stands twice in one map.

Why: What cannot be read to the end cannot be proven. Two keys of one name would let the last one win
without a word, and a sign that no editor shows can make a text look unlike what it says.

Source: YAML 1.2 (from memory): keys of a map are unique, tabs are no indentation. Common practice for the
rest, no source.

Bad::

    file: |
      procedure: example
      title: "Change the cartridge
      units: [EX-1]
      steps:
        - do: Look at the drain.

Good::

    file: |
      procedure: example
      title: "Change the cartridge"
      units: [EX-1]
      steps:
        - do: Look at the drain.
"""

from proctool.rules.rule import Rule

RULE = Rule("file/yaml", page=__doc__, never=True)
