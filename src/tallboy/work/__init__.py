"""How a piece is worked: routes and repairs as editable data, and how they unroll into steps and waits."""
