"""The published checks: what a source says a sum must give, and whether it does. The data lie beside this file as TOML."""
