{{# layer.number == 2 }}
; fan from the second layer on, in two steps
M106 S110
{{/}}
{{# layer.number == 4 }}
M106 S255
{{/}}
M73 P{{ round(100 * layer.number / layer.count) }}
