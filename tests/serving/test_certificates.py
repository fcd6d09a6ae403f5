"""The authority and the server's certificate, against OpenSSL's own verification (RFC 5280)."""

import os
import shutil
import ssl
import stat
import subprocess
from datetime import timedelta
from pathlib import Path

import pytest
from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import NameOID

from bench.serving import leaf
from bench.serving.addresses import is_home, own_addresses
from bench.serving.authority import Authority, make_authority, moment, open_authority
from bench.settings import Settings

NOW = 1_794_470_400_000
DAY = 86_400_000


def keys(tmp_path: Path) -> Path:
    """An empty folder of keys."""
    folder = tmp_path / "keys"
    folder.mkdir(mode=0o700)
    return folder


def verified(tmp_path: Path, authority: bytes, pem: bytes, *more: str) -> str:
    """What `openssl verify` says of a server's certificate."""
    if shutil.which("openssl") is None:
        pytest.skip("OpenSSL's command is not installed.")
    (tmp_path / "ca.pem").write_bytes(authority)
    chain = pem[pem.index(b"-----BEGIN CERTIFICATE") :]
    (tmp_path / "leaf.pem").write_bytes(chain[: chain.index(b"-----END CERTIFICATE-----") + 26])
    call = ["openssl", "verify", "-x509_strict", "-purpose", "sslserver", "-attime", str(NOW // 1000)]
    call += [*more, "-CAfile", str(tmp_path / "ca.pem"), str(tmp_path / "leaf.pem")]
    done = subprocess.run(call, capture_output=True, text=True)
    return done.stdout + done.stderr


def test_the_server_is_verified_by_name_and_by_number(tmp_path: Path) -> None:
    authority = make_authority(NOW)
    made = leaf.make_leaf(authority, ["192.168.1.7", "127.0.0.1"], NOW)
    for asked in (["-verify_hostname", "bench.local"], ["-verify_ip", "192.168.1.7"]):
        assert "leaf.pem: OK" in verified(tmp_path, authority.pem, made, *asked)
    assert "mismatch" in verified(tmp_path, authority.pem, made, "-verify_ip", "192.168.1.8")


@pytest.mark.parametrize("foreign", [x509.DNSName("example.org"), x509.DNSName("local"), "8.8.8.8", "2001:db8::1"])
def test_the_authority_speaks_for_no_other_place(
    tmp_path: Path, foreign: x509.DNSName | str, monkeypatch: pytest.MonkeyPatch
) -> None:
    authority = make_authority(NOW)
    if isinstance(foreign, str):
        made = leaf.make_leaf(authority, [foreign], NOW)
    else:
        monkeypatch.setattr(leaf, "NAME", foreign.value)
        made = leaf.make_leaf(authority, ["127.0.0.1"], NOW)
    assert "permitted subtree violation" in verified(tmp_path, authority.pem, made)


@pytest.mark.parametrize(
    "foreign", [x509.RFC822Name("boss@example.org"), x509.UniformResourceIdentifier("https://example.org/")]
)
def test_the_authority_speaks_for_no_address_of_mail_and_no_other_name(
    tmp_path: Path, foreign: x509.GeneralName
) -> None:
    authority = make_authority(NOW)
    made = signed(authority, foreign)
    call = ["openssl", "verify", "-attime", str(NOW // 1000), "-CAfile", str(tmp_path / "ca.pem")]
    verified(tmp_path, authority.pem, made)
    for purpose in ("any", "smimesign"):
        done = subprocess.run([*call, "-purpose", purpose, str(tmp_path / "leaf.pem")], capture_output=True, text=True)
        assert "OK" not in done.stdout, purpose


def test_an_authority_without_the_bound_is_told_apart_and_kept(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    folder = keys(tmp_path)
    assert make_authority(NOW).is_narrow
    with monkeypatch.context() as before:
        before.setattr(x509.CertificateBuilder, "add_extension", without_purposes)
        older = open_authority(folder, NOW)
    assert not older.is_narrow and open_authority(folder, NOW + DAY).fingerprint == older.fingerprint
    assert "leaf.pem: OK" in verified(tmp_path, older.pem, leaf.make_leaf(older, ["127.0.0.1"], NOW))


ADD = x509.CertificateBuilder.add_extension


def without_purposes(
    builder: x509.CertificateBuilder, value: x509.ExtensionType, critical: bool
) -> x509.CertificateBuilder:
    """As an earlier version built it."""
    return builder if isinstance(value, x509.ExtendedKeyUsage) else ADD(builder, value, critical)


def signed(authority: Authority, name: x509.GeneralName) -> bytes:
    """A certificate for a name of another kind, as a thief of the key would make it."""
    key = ec.generate_private_key(ec.SECP256R1())
    builder = (
        x509.CertificateBuilder()
        .subject_name(x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, "boss")]))
        .issuer_name(authority.certificate.subject)
        .public_key(key.public_key())
        .serial_number(7)
        .not_valid_before(moment(NOW - DAY))
        .not_valid_after(moment(NOW + DAY))
        .add_extension(x509.SubjectAlternativeName([name]), critical=False)
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
    )
    return builder.sign(authority.key, hashes.SHA256()).public_bytes(serialization.Encoding.PEM)


def test_the_authority_signs_no_further_authority() -> None:
    found = make_authority(NOW).certificate.extensions
    basic = found.get_extension_for_class(x509.BasicConstraints)
    assert basic.critical and basic.value.ca and basic.value.path_length == 0
    assert found.get_extension_for_class(x509.NameConstraints).critical
    assert found.get_extension_for_class(x509.KeyUsage).value.key_cert_sign


def test_lives_are_those_that_phones_take() -> None:
    authority = make_authority(NOW)
    life = authority.certificate.not_valid_after_utc - authority.certificate.not_valid_before_utc
    assert timedelta(days=3650) <= life <= timedelta(days=3660)
    made = x509.load_pem_x509_certificates(leaf.make_leaf(authority, [], NOW))[0]
    assert made.not_valid_after_utc - made.not_valid_before_utc <= timedelta(days=397)
    assert made.not_valid_before_utc < moment(NOW) < made.not_valid_after_utc


@pytest.mark.skipif(os.name == "nt", reason="Windows keeps rights in another way")
def test_keys_are_readable_by_their_owner_alone_and_made_once(tmp_path: Path) -> None:
    folder = keys(tmp_path)
    first = open_authority(folder, NOW)
    leaf.ready_leaf(folder, first, ["10.0.0.2"], NOW)
    assert {path.name for path in folder.iterdir()} == {"authority.key", "authority.crt", "server.pem"}
    for path in folder.iterdir():
        assert stat.S_IMODE(path.stat().st_mode) == 0o600
    assert open_authority(folder, NOW + DAY).fingerprint == first.fingerprint
    assert open_authority(folder, NOW + 3700 * DAY).fingerprint != first.fingerprint


def test_the_certificate_is_made_anew_when_it_has_to_be(tmp_path: Path) -> None:
    folder = keys(tmp_path)
    authority = open_authority(folder, NOW)

    def made(addresses: list[str], now: int) -> bool:
        return leaf.ready_leaf(folder, authority, addresses, now)[1]

    assert made(["10.0.0.2"], NOW)
    assert not made(["10.0.0.2"], NOW + DAY)
    assert not made([], NOW + DAY), "an address less needs nothing"
    assert made(["10.0.0.3"], NOW + DAY)
    assert made(["10.0.0.3"], NOW + 370 * DAY), "it runs out soon"
    assert made(["10.0.0.3"], NOW - 900 * DAY), "the clock was set back before it began"
    (folder / "server.pem").write_bytes(leaf.make_leaf(make_authority(NOW), ["10.0.0.3"], NOW))
    assert made(["10.0.0.3"], NOW), "another authority signed it"
    (folder / "server.pem").write_text("nothing", encoding="ascii")
    assert made(["10.0.0.3"], NOW)
    ssl.create_default_context(ssl.Purpose.CLIENT_AUTH).load_cert_chain(folder / "server.pem")


def test_only_a_house_s_own_addresses_are_shown(settings: Settings) -> None:
    import ipaddress

    home = ["10.1.2.3", "172.16.0.1", "172.31.255.1", "192.168.0.9", "169.254.3.3", "fe80::1", "fd00::1"]
    away = ["8.8.8.8", "172.32.0.1", "192.169.0.1", "2001:db8::1", "127.0.0.1"]
    assert all(is_home(ipaddress.ip_address(text)) for text in home)
    assert not any(is_home(ipaddress.ip_address(text)) for text in away)
    assert all(is_home(ipaddress.ip_address(text)) for text in own_addresses())
