"""Lets schemathesis make requests out of the description of the program; any answer with a fault of the server fails.

Arguments: the document, the address of the server, the id of an open fitting, where the report goes.
"""
import json
import os
import subprocess
import sys
import tempfile

document_path, url, fitting, report = sys.argv[1:5]
seconds = os.environ.get("LASTBENCH_FUZZ_SECONDS", "45")
with open(document_path, encoding="utf-8") as file:
    document = json.load(file)

# What is there is asked for more often than what is not: behind a 404 nothing is tried.
there = {
    "id": [fitting, "0" * 32],
    "number": [1, 2, 3],
    "style": ["fennick.fm-310", "fennick.fm-110", "oskerley.003110m", "fennick.fm-310.json"],
}
for path, methods in document["paths"].items():
    for method in methods.values():
        for parameter in method["parameters"]:
            known = there.get(parameter["name"]) if parameter["in"] == "path" else None
            if known:
                parameter["schema"] = {"anyOf": [{"enum": known}, parameter["schema"]]}

# Closing the fitting would end the trial of all its other addresses.
del document["paths"]["/fittings/{id}/close"]["post"]
changed = tempfile.NamedTemporaryFile("w", suffix=".json", delete=False)
with changed:
    json.dump(document, changed)

ran = subprocess.run(
    [
        os.path.join(os.path.dirname(sys.executable), "schemathesis"),
        "--no-color",
        "run",
        changed.name,
        "--url", url,
        "--header", "Sec-Fetch-Site: same-origin",
        "--checks", "not_a_server_error,status_code_conformance,content_type_conformance,response_headers_conformance,response_schema_conformance",
        "--phases", "coverage,fuzzing",
        "--mode", "all",
        "--max-time", seconds,
        "--workers", "2",
        "--seed", "7340",
        "--suppress-health-check", "all",
        "--request-timeout", "30",
        "--warnings", "off",
        "--continue-on-failure",
    ],
    stdout=subprocess.PIPE,
    stderr=subprocess.STDOUT,
    text=True,
    cwd=os.path.dirname(report),
    check=False,
)
os.unlink(changed.name)
with open(report, "w", encoding="utf-8") as file:
    file.write(ran.stdout)
sys.exit(0 if ran.returncode == 0 else ran.stdout[-20000:])
