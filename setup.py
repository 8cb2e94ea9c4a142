"""Packages: shopday and all in it, and the demo shop, which stands at the top of the repository."""

from setuptools import find_namespace_packages, setup

setup(
    packages=[*find_namespace_packages(include=["shopday*"]), "shopday.demo_jobs"],
    package_dir={"shopday.demo_jobs": "demo_jobs"},
)
