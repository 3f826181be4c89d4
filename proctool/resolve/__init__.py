"""From files to plans: units on their bases, and each procedure made flat for one unit.

Modules in the order of the data: `inherit` (bases taken over), `unit` and `units` (nodes to units), `scope`
(names looked up), `sets` (what an `each` runs over), `fitting` (`when`, `only`), `acts`, `texts`, `ids`,
`details`, `amounts`, `expand` (blocks and copies to steps, kept in `draft`), `order` (which step comes before
which), `frames` (`otherwise` and where it leads), `plan` (all of it).
"""
