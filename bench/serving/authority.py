"""The certificate authority of this one bench: made once, kept here alone, and good for nothing but this bench.

A phone that trusts it trusts it for the bench's own names and for private addresses only: the constraint is critical,
so whoever stole its key could still not speak for any other place (RFC 5280, section 4.2.1.10). It makes servers and
nothing else (section 4.2.1.12): no e-mail address and no other kind of name can stand under it.
"""

import ipaddress
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path

from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import ExtendedKeyUsageOID, NameOID

from bench.serving.addresses import HOME
from bench.settings import write_secret

NAME = "bench.local"
LIFE = timedelta(days=3652)
SLACK = timedelta(days=1)
KEY_FILE = "authority.key"
CERTIFICATE_FILE = "authority.crt"
NOWHERE = "bench.invalid"  # a name that can never be (RFC 2606): whatever else is named must lie under it
LOCAL = ("127.0.0.0/8", "::1/128")


@dataclass(frozen=True)
class Authority:
    """The authority's certificate and its key."""

    certificate: x509.Certificate
    key: ec.EllipticCurvePrivateKey

    @property
    def pem(self) -> bytes:
        """The certificate as text."""
        return self.certificate.public_bytes(serialization.Encoding.PEM)

    @property
    def der(self) -> bytes:
        """The certificate as phones install it."""
        return self.certificate.public_bytes(serialization.Encoding.DER)

    @property
    def fingerprint(self) -> str:
        """SHA-256 over the certificate, in pairs, to be compared by eye."""
        return self.certificate.fingerprint(hashes.SHA256()).hex(":").upper()

    @property
    def is_narrow(self) -> bool:
        """Whether it can make servers alone. One of an earlier version could also stand behind an e-mail address."""
        try:
            self.certificate.extensions.get_extension_for_class(x509.ExtendedKeyUsage)
        except x509.ExtensionNotFound:
            return False
        return True


def moment(ms: int) -> datetime:
    """Milliseconds since 1970 as a moment in UTC, to the second."""
    return datetime.fromtimestamp(ms // 1000, UTC)


def open_authority(keys: Path, now_ms: int) -> Authority:
    """This bench's authority: the one that is kept, or a new one where there is none or its time has run out.

    A new one has to be trusted anew by every phone. Errors: OSError where the folder refuses; ValueError where what is
    kept there is no key or no certificate.
    """
    kept = _kept(keys)
    if kept is not None and kept.certificate.not_valid_after_utc > moment(now_ms):
        return kept
    made = make_authority(now_ms)
    private = made.key.private_bytes(
        serialization.Encoding.PEM, serialization.PrivateFormat.PKCS8, serialization.NoEncryption()
    )
    write_secret(keys / KEY_FILE, private)
    write_secret(keys / CERTIFICATE_FILE, made.pem)
    return made


def make_authority(now_ms: int) -> Authority:
    """A new authority from `now_ms` on, for ten years."""
    key = ec.generate_private_key(ec.SECP256R1())
    name = x509.Name(
        [
            x509.NameAttribute(NameOID.ORGANIZATION_NAME, "Saggar"),
            x509.NameAttribute(NameOID.COMMON_NAME, f"This workshop's bench, {moment(now_ms):%Y-%m-%d}"),
        ]
    )
    public = x509.SubjectKeyIdentifier.from_public_key(key.public_key())
    certificate = (
        x509.CertificateBuilder()
        .subject_name(name)
        .issuer_name(name)
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(moment(now_ms) - SLACK)
        .not_valid_after(moment(now_ms) + LIFE)
        .add_extension(x509.BasicConstraints(ca=True, path_length=0), critical=True)
        .add_extension(key_usage(signs=True), critical=True)
        .add_extension(x509.NameConstraints(_permitted(), None), critical=True)
        .add_extension(x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH]), critical=False)
        .add_extension(public, critical=False)
        .sign(key, hashes.SHA256())
    )
    return Authority(certificate, key)


def _permitted() -> list[x509.GeneralName]:
    networks = (*map(ipaddress.ip_network, LOCAL), *HOME)
    names: list[x509.GeneralName] = [x509.DNSName(NAME), x509.DNSName("localhost")]
    names += [x509.RFC822Name(f"nobody@{NOWHERE}"), x509.UniformResourceIdentifier(NOWHERE)]
    return [*names, *(x509.IPAddress(network) for network in networks)]


def key_usage(signs: bool) -> x509.KeyUsage:
    """A key that signs certificates and no more, or one that speaks for a server and no more."""
    return x509.KeyUsage(
        digital_signature=not signs,
        content_commitment=False,
        key_encipherment=False,
        data_encipherment=False,
        key_agreement=False,
        key_cert_sign=signs,
        crl_sign=signs,
        encipher_only=False,
        decipher_only=False,
    )


def _kept(keys: Path) -> Authority | None:
    try:
        certificate = x509.load_pem_x509_certificate((keys / CERTIFICATE_FILE).read_bytes())
        key = serialization.load_pem_private_key((keys / KEY_FILE).read_bytes(), password=None)
    except FileNotFoundError:
        return None
    if not isinstance(key, ec.EllipticCurvePrivateKey) or key.public_key() != certificate.public_key():
        return None
    return Authority(certificate, key)
