"""What the benches and some tests share: figures and how they are told, invented shops and papers."""
