{{# layer.number == 1 }}
M220 S70
{{/}}
{{# layer.number == 3 }}
M220 S100
{{/}}
