"""Setuptools, told where the list of what a source package holds stands: beside this file, and not at the top."""

from setuptools.build_meta import *  # noqa: F403
from setuptools.command.egg_info import manifest_maker

manifest_maker.template = ".ci/sdist.in"
