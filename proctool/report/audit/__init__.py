"""What an audit adds to the coverage of its cases, and its formats for programs and spreadsheets.

`requirements` (what a written procedure must hold), `on_word` (what nobody proved), `reviews` (when the next
inspection is due), `sample` (which rows to look at by hand); `json`, `sheet` and `text` write it.
"""
