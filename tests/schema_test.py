"""The JSON Schema that `setup schema` prints: itself valid (JSON Schema 2020-12),
and every shipped and random setup valid against it; what is spoilt is not.

    schema_test.py RUSHLIGHT PRINT_SETUPS FOLDER COUNT SEED
"""
import copy
import json
import pathlib
import re
import subprocess
import sys

try:
    import jsonschema
    import yaml
except ImportError as missing:
    print(missing)
    sys.exit(77)


class Loader(yaml.SafeLoader):
    """YAML 1.2: `on` is a word, not a truth value."""


Loader.yaml_implicit_resolvers = {
    first: [(tag, pattern) for tag, pattern in resolvers if not tag.endswith(":bool")]
    for first, resolvers in yaml.SafeLoader.yaml_implicit_resolvers.items()
}


def spoilt(setup):
    """Ways to break a setup that a schema must see."""
    for key in ("setup", "side", "candle", "entry", "stop", "exit"):
        without = copy.deepcopy(setup)
        del without[key]
        yield f"without {key}", without
    for key, value in (("side", "up"), ("colour", "green"), ("overlap", "two"),
                       ("place", {"lowest_low": {"bars": 3}}),
                       ("place", [{"lowest_lows": {"bars": 3}}]),
                       ("place", [{"lowest_low": {"bars": 0}}]),
                       ("place", [{"lowest_low": {"bars": 2.5}}]),
                       ("candle", {"shape": "hamer"}),
                       ("candle", {"shape": "hammer", "limits": {"body": 1}}),
                       ("candle", {"any_of": [{"limits": {"body_max": 1}}]}),
                       ("stop", {"at": "atr", "time": 2}),
                       ("stop", {"at": "candle_low", "buffer_atr": -1}),
                       ("stop", {"at": "lowest"}),
                       ("interval", "1x")):
        other = copy.deepcopy(setup)
        other[key] = value
        yield f"with {key}: {value}", other
    for key, value in (("valid", 0), ("on", "break"), ("at", "open"), ("buffer_ticks", -1),
                       ("retest_in", 3)):
        other = copy.deepcopy(setup)
        other["entry"][key] = value
        yield f"with entry: {key}: {value}", other
    other = copy.deepcopy(setup)
    other["exit"]["targets"] = [{"r": -1}]
    yield "with a target of -1 R", other


def main():
    rushlight, print_setups, folder, count, seed = sys.argv[1:6]
    text = subprocess.run([rushlight, "setup", "schema"], check=True, capture_output=True).stdout
    schema = json.loads(text)
    jsonschema.Draft202012Validator.check_schema(schema)
    validator = jsonschema.Draft202012Validator(schema)
    setups = [(path.name, yaml.load(path.read_text(), Loader))
              for path in sorted(pathlib.Path(folder).glob("*.yaml"))]
    shipped = len(setups)
    drawn = subprocess.run([print_setups, count, seed], check=True, capture_output=True).stdout
    setups += [(setup["setup"], setup)
               for setup in yaml.load_all(drawn.decode(), Loader) if setup is not None]
    faults = 0
    broken = 0
    for name, setup in setups:
        for error in validator.iter_errors(setup):
            print(f"{name}: {error.json_path}: {re.sub('[ ]+', ' ', error.message)[:300]}")
            faults += 1
    for name, setup in [pair for pair in setups if "mirror_of" not in pair[1]][:40]:
        for what, other in spoilt(setup):
            broken += 1
            if validator.is_valid(other):
                print(f"{name} {what}: the schema takes it")
                faults += 1
    print(f"seed {seed}: {shipped} shipped setups, {len(setups) - shipped} random ones, "
          f"{broken} spoilt; {faults} faults")
    return 1 if faults or not shipped or len(setups) - shipped != int(count) else 0


sys.exit(main())
