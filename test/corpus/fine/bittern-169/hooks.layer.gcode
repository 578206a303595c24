; a breath between layers while hooks are small on top
{{# layer.number >= 140 }}
G4 S2
{{/}}
