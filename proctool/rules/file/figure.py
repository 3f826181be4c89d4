"""Every figure is a picture that lies in the library and can be shown.

Why: A step that says "as the picture shows" beside an empty frame is worse than one without a picture. A
path that leads out of the library works on one machine only. A drawing that holds a script, or fetches
something from outside, does so on the machine of whoever opens the manual.

Source: Common practice, no source: the file format is proctool's own.

Bad::

    steps:
      - do: Turn the <housing> to the left.
        figure: {file: figures/hosing.svg, alt: The filter housing with an arrow to the left.}

Good::

    steps:
      - do: Turn the <housing> to the left.
        figure: {file: figures/housing.svg, alt: The filter housing with an arrow to the left.}
"""

from proctool.rules.rule import Rule

RULE = Rule("file/figure", page=__doc__, never=True)
