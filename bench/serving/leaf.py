"""The server's own certificate: its names, its addresses of today, and when it has to be made anew."""

import ipaddress
from collections.abc import Iterable
from datetime import timedelta
from pathlib import Path

from cryptography import x509
from cryptography.exceptions import InvalidSignature
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import ExtendedKeyUsageOID, NameOID

from bench.serving.authority import NAME, SLACK, Authority, key_usage, moment
from bench.settings import write_secret

LIFE = timedelta(days=397)
RENEW_BEFORE = timedelta(days=30)
FILE = "server.pem"
ALWAYS = ("127.0.0.1", "::1")


def ready_leaf(keys: Path, authority: Authority, addresses: Iterable[str], now_ms: int) -> tuple[Path, bool]:
    """The file with the server's key and certificate for these addresses, and whether it was made just now.

    Errors: OSError where the folder refuses.
    """
    path = keys / FILE
    asked = {*ALWAYS, *addresses}
    if _still_good(path, authority, asked, now_ms):
        return path, False
    write_secret(path, make_leaf(authority, asked, now_ms))
    return path, True


def make_leaf(authority: Authority, addresses: Iterable[str], now_ms: int) -> bytes:
    """A key and its certificate as PEM, the authority's behind it, for the bench's names and these addresses."""
    key = ec.generate_private_key(ec.SECP256R1())
    issuer = authority.certificate
    names: list[x509.GeneralName] = [x509.DNSName(NAME), x509.DNSName("localhost")]
    names += [x509.IPAddress(ipaddress.ip_address(text)) for text in sorted(addresses)]
    end = min(moment(now_ms) + LIFE, issuer.not_valid_after_utc)
    certificate = (
        x509.CertificateBuilder()
        .subject_name(x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, NAME)]))
        .issuer_name(issuer.subject)
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(moment(now_ms) - SLACK)
        .not_valid_after(end - SLACK)
        .add_extension(x509.SubjectAlternativeName(names), critical=False)
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        .add_extension(x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH]), critical=False)
        .add_extension(key_usage(signs=False), critical=True)
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(key.public_key()), critical=False)
        .add_extension(x509.AuthorityKeyIdentifier.from_issuer_public_key(authority.key.public_key()), critical=False)
        .sign(authority.key, hashes.SHA256())
    )
    private = key.private_bytes(
        serialization.Encoding.PEM, serialization.PrivateFormat.PKCS8, serialization.NoEncryption()
    )
    return private + certificate.public_bytes(serialization.Encoding.PEM) + authority.pem


def _still_good(path: Path, authority: Authority, asked: set[str], now_ms: int) -> bool:
    try:
        certificate = x509.load_pem_x509_certificates(path.read_bytes())[0]
        certificate.verify_directly_issued_by(authority.certificate)
        names = certificate.extensions.get_extension_for_class(x509.SubjectAlternativeName).value
    except (OSError, ValueError, TypeError, IndexError, x509.ExtensionNotFound):
        return False
    except InvalidSignature:
        return False
    borne = {str(address) for address in names.get_values_for_type(x509.IPAddress)}
    starts, ends = certificate.not_valid_before_utc, certificate.not_valid_after_utc
    return asked <= borne and starts <= moment(now_ms) < ends - RENEW_BEFORE
