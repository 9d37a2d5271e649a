"""A checker of certificates: follows `lidcard check --certificate` with the boat file beside it.

It knows the arithmetic from the description of the boat file and the certificate from `docs/certificate.md`, and
needs Python's standard library and a reader of YAML.

    python -m certificate BOAT.yaml CERTIFICATE.json
"""
