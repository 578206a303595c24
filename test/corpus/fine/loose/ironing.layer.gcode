{{# layer.number == layer.count }}
M220 S60
M106 S255
{{/}}
