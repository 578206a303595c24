; slower as it grows, so that the vase does not swing
{{# layer.number == 300 }}
M220 S80
{{/}}
{{# layer.number == 900 }}
M220 S65
{{/}}
