"""The demo shop: an invented bench on a quay, made by the same actions that a person uses."""
