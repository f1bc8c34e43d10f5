"""The plainest design: a ball of one material, without a core."""

UNIFORM = """
format: corewright 1
name: Plain
revision: A
units: in
ball: {diameter: 8.55}
materials: {b: {density: 1}}
parts:
  - {name: cover, material: b, shape: sphere, diameter: 8.55}
"""
