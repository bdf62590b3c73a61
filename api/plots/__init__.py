"""Server-side charts as plain SVG: pure text out of numbers, no colours but classes.

`svg` writes elements, `scale` maps numbers to places, and one module per shape draws it:
`curve` (band, line and points), `strip` (window, gate and triple), `rows` (intervals side by side),
`sessions` (a value over the weeks), `clock_face` (leaves around the hole). Uncertainty is drawn
first, the best estimate over it. Every chart comes as a `Figure` with the same facts as a table.
"""
